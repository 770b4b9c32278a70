//! Opening the window, and saying in a sentence why it could not be opened.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use egui::{IconData, ViewportBuilder, vec2};

use super::application::Application;
use super::effects::Effects;
use super::memory::Memory;

/// Opens the window and returns when it is closed.
///
/// # Errors
///
/// Why there is no window, in a sentence.
pub fn run(file: Option<PathBuf>) -> Result<(), String> {
    let effects = Effects::real();
    let memory = effects
        .kept_window()
        .map(|text| Memory::of(&text))
        .unwrap_or_default();
    let options = eframe::NativeOptions {
        viewport: ViewportBuilder::default()
            .with_title("Crosspatch")
            .with_app_id("crosspatch")
            .with_inner_size(vec2(memory.size.0, memory.size.1))
            .with_maximized(memory.maximized)
            .with_min_inner_size(vec2(900.0, 600.0))
            .with_icon(icon()),
        ..eframe::NativeOptions::default()
    };
    let is_up = Arc::new(AtomicBool::new(false));
    let seen_up = Arc::clone(&is_up);
    // A library that is missing makes the windowing code panic before the window is up; only that
    // is caught. The message of such a panic is ours to tell, so the hook keeps quiet until then.
    let hook: Arc<dyn Fn(&std::panic::PanicHookInfo<'_>) + Send + Sync> =
        std::panic::take_hook().into();
    let later = Arc::clone(&hook);
    let quiet = Arc::clone(&is_up);
    std::panic::set_hook(Box::new(move |info| {
        if quiet.load(Ordering::Relaxed) {
            later(info);
        }
    }));
    let answer = catch_unwind(AssertUnwindSafe(|| {
        eframe::run_native(
            "Crosspatch",
            options,
            Box::new(move |cc| {
                seen_up.store(true, Ordering::Relaxed);
                super::theme::install(&cc.egui_ctx);
                let dark = cc.egui_ctx.system_theme() == Some(egui::Theme::Dark);
                Ok(Box::new(Application::at_start(
                    &cc.egui_ctx,
                    file.as_deref(),
                    effects,
                    dark,
                )))
            }),
        )
    }));
    drop(std::panic::take_hook());
    std::panic::set_hook(Box::new(move |info| hook(info)));
    match answer {
        Ok(Ok(())) => Ok(()),
        Ok(Err(error)) => Err(sentence(&error.to_string())),
        Err(panic) => {
            if is_up.load(Ordering::Relaxed) {
                std::panic::resume_unwind(panic);
            }
            let text = panic
                .downcast_ref::<String>()
                .map(String::as_str)
                .or_else(|| panic.downcast_ref::<&str>().copied())
                .unwrap_or("no reason given");
            Err(missing_library(text))
        }
    }
}

/// Turns the windowing code's error into a sentence for people.
fn sentence(error: &str) -> String {
    // The cause stands last, after the places in the source it came through.
    let cause = error
        .rsplit(": ")
        .next()
        .unwrap_or(error)
        .trim_end_matches('.');
    let lower = error.to_lowercase();
    let no_display = ["display", "wayland", "x11"]
        .iter()
        .any(|word| lower.contains(word));
    if no_display {
        format!("there is no display to open a window on: {cause}")
    } else {
        format!("the window could not be opened: {cause}")
    }
}

/// Names the library whose absence made the windowing code panic.
fn missing_library(panic: &str) -> String {
    let library = [
        (
            "xkbcommon-x11",
            "libxkbcommon-x11 (package libxkbcommon-x11-0)",
        ),
        ("xkbcommon", "libxkbcommon (package libxkbcommon0)"),
        ("libX11-xcb", "libX11-xcb (package libx11-xcb1)"),
        ("libXcursor", "libXcursor (package libxcursor1)"),
        ("libXi", "libXi (package libxi6)"),
        ("libX11", "libX11 (package libx11-6)"),
        ("libGL", "libGL (package libgl1)"),
        ("libEGL", "libEGL (package libegl1)"),
    ]
    .into_iter()
    .find(|(word, _)| panic.contains(word));
    match library {
        Some((_, name)) => {
            format!("the window needs the library {name}, which is not on this machine")
        }
        None => format!("the window could not be opened: {panic}"),
    }
}

/// Draws the window's icon: two cords that cross.
fn icon() -> IconData {
    const SIZE: u32 = 64;
    let mut rgba = Vec::with_capacity((SIZE * SIZE * 4) as usize);
    for y in 0..SIZE {
        for x in 0..SIZE {
            let (u, v) = (x as f32 / SIZE as f32, y as f32 / SIZE as f32);
            rgba.extend(icon_pixel(u, v));
        }
    }
    IconData {
        rgba,
        width: SIZE,
        height: SIZE,
    }
}

fn icon_pixel(u: f32, v: f32) -> [u8; 4] {
    let corner = 0.22;
    let inside = |w: f32| (w - 0.5).abs() - (0.5 - corner);
    let (dx, dy) = (inside(u).max(0.0), inside(v).max(0.0));
    if dx.hypot(dy) > corner {
        return [0, 0, 0, 0];
    }
    // A smooth step from one height to the other is the run of a cord.
    let step = {
        let s = ((u - 0.2) / 0.6).clamp(0.0, 1.0);
        s * s * (3.0 - 2.0 * s)
    };
    let down = 0.28 + 0.44 * step;
    let up = 0.72 - 0.44 * step;
    if (v - down).abs() < 0.06 {
        [255, 255, 255, 255]
    } else if (v - up).abs() < 0.06 && (u - 0.5).abs() > 0.08 {
        [240, 176, 96, 255]
    } else {
        [18, 93, 134, 255]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_missing_library_is_named() {
        let text = missing_library("Library libxkbcommon-x11.so could not be loaded.");
        assert!(text.contains("libxkbcommon-x11-0"), "{text}");
        assert!(missing_library("odd").contains("odd"));
    }

    #[test]
    fn no_display_is_said_plainly() {
        let text =
            sentence("os error at some/file.rs:765: neither WAYLAND_DISPLAY nor DISPLAY is set.");
        assert!(text.contains("no display"), "{text}");
        assert!(!text.contains(".rs"), "no place in the source: {text}");
    }

    #[test]
    fn the_icon_has_all_its_pixels() {
        let icon = icon();
        assert_eq!(icon.rgba.len(), 64 * 64 * 4);
        assert!(icon.rgba.chunks(4).any(|p| p == [255, 255, 255, 255]));
    }
}
