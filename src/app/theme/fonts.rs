//! The two embedded faces. Their licence text lies beside them in `assets/fonts`.

use std::sync::Arc;

use egui::{Context, FontData, FontDefinitions, FontFamily, FontId};

/// Name of the family of the heavier face.
pub(crate) const SEMIBOLD: &str = "semibold";

/// Returns the heavier face in a size.
pub(crate) fn semibold(size: f32) -> FontId {
    FontId::new(size, FontFamily::Name(SEMIBOLD.into()))
}

/// Puts the embedded faces before the built-in ones, which stay for letters the faces lack.
pub(super) fn install(ctx: &Context) {
    let mut fonts = FontDefinitions::default();
    let faces: [(&str, &'static [u8]); 2] = [
        (
            "Inter",
            include_bytes!("../../../assets/fonts/Inter-Regular.otf"),
        ),
        (
            "Inter SemiBold",
            include_bytes!("../../../assets/fonts/Inter-SemiBold.otf"),
        ),
    ];
    for (name, bytes) in faces {
        fonts
            .font_data
            .insert(name.to_owned(), Arc::new(FontData::from_static(bytes)));
    }
    let fallback = fonts
        .families
        .get(&FontFamily::Proportional)
        .cloned()
        .unwrap_or_default();
    let with_first = |first: &str| {
        let mut names = vec![first.to_owned()];
        names.extend(fallback.iter().cloned());
        names
    };
    fonts
        .families
        .insert(FontFamily::Proportional, with_first("Inter"));
    fonts.families.insert(
        FontFamily::Name(SEMIBOLD.into()),
        with_first("Inter SemiBold"),
    );
    ctx.set_fonts(fonts);
}
