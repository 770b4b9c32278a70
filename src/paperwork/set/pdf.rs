//! A document as PDF: tagged, searchable, the same bytes for the same document.
//!
//! Checked while it is written against PDF/UA-1 (ISO 14289-1); the engine refuses what breaks it. That
//! is not the whole of the standard: what no program can check is held by tests of the tree.

use std::collections::BTreeMap;
use std::num::NonZeroU16;

use krilla::color::rgb;
use krilla::configure::{Accessibility, ConfigurationBuilder};
use krilla::destination::XyzDestination;
use krilla::error::KrillaError;
use krilla::geom::{PathBuilder, Point, Size, Transform};
use krilla::image::Image;
use krilla::metadata::Metadata;
use krilla::num::NormalizedF32;
use krilla::outline::{Outline, OutlineNode};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke, StrokeDash};
use krilla::surface::Surface;
use krilla::tagging::{
    ArtifactType, ContentTag, Identifier, Node, SpanTag, TableHeaderScope, Tag, TagGroup, TagTree,
};
use krilla::text::{Font, GlyphId, KrillaGlyph};
use krilla::{Document as Writer, SerializeSettings};
use krilla_svg::{SurfaceExt as _, SvgSettings};

use super::face::Face;
use super::ink::{Ink, Pen, Step, Text, Tint};
use super::logo::{Logo, LogoKind};
use super::sheet::{Child, Document, Element, Role};

/// Writes a document.
///
/// # Errors
///
/// In a sentence: what the engine refused. A document made by the composer is never refused; a picture
/// brought along may be.
pub fn write(document: &Document) -> Result<Vec<u8>, String> {
    let configuration = ConfigurationBuilder::new()
        .with_accessibility_validator(Accessibility::UA1)
        .finish()
        .map_err(|error| format!("{error:?}"))?;
    let mut writer = Writer::new_with(SerializeSettings {
        configuration,
        enable_tagging: true,
        ..SerializeSettings::default()
    });
    let fonts = Fonts::open()?;
    let mut marks = BTreeMap::new();
    for (number, page) in document.pages.iter().enumerate() {
        let settings = PageSettings::from_wh(page.size.x, page.size.y)
            .ok_or_else(|| format!("page {} has no size", number + 1))?;
        let mut leaf = writer.start_page_with(settings);
        let mut surface = leaf.surface();
        for (i, item) in page.items.iter().enumerate() {
            let tag = if item.is_artifact {
                ContentTag::Artifact(krilla::tagging::Artifact::with_kind(ArtifactType::Other))
            } else {
                // Ink that is no text says in words what it shows.
                ContentTag::Span(SpanTag::empty().with_alt_text(item.says.as_deref()))
            };
            let mark = surface.start_tagged(tag);
            for ink in &item.inks {
                draw(&mut surface, &fonts, ink)?;
            }
            surface.end_tagged();
            if !item.is_artifact {
                marks.insert((number, i), mark);
            }
        }
        surface.finish();
        leaf.finish();
    }
    let mut tree = TagTree::new().with_lang(Some("en".to_owned()));
    for element in &document.tree {
        if let Some(node) = node(element, &mut marks) {
            tree.push(node);
        }
    }
    writer.set_tag_tree(tree);
    let mut outline = Outline::new();
    let mut headings = Vec::new();
    find_headings(&document.tree, &mut headings);
    for (text, page) in headings {
        let at = XyzDestination::new(page, Point::from_xy(0.0, 0.0));
        outline.push_child(OutlineNode::new(text, at));
    }
    writer.set_outline(outline);
    writer.set_metadata(
        Metadata::new()
            .title(document.title.clone())
            .language("en".to_owned())
            .creator("Crosspatch".to_owned())
            .producer("Crosspatch".to_owned()),
    );
    writer.finish().map_err(|error| match error {
        KrillaError::Image(..) => {
            "the picture at the head of the pages cannot be printed".to_owned()
        }
        other => format!("the PDF cannot be written ({other:?})"),
    })
}

struct Fonts([Font; 2]);

impl Fonts {
    fn open() -> Result<Self, String> {
        let open = |face: Face| {
            Font::new(face.bytes().into(), 0)
                .ok_or_else(|| "a font that comes along is none".to_owned())
        };
        let [regular, bold] = Face::ALL;
        Ok(Self([open(regular)?, open(bold)?]))
    }

    fn of(&self, face: Face) -> Font {
        let Self([regular, bold]) = self;
        match face {
            Face::Regular => regular.clone(),
            Face::Bold => bold.clone(),
        }
    }
}

fn colour(tint: Tint) -> rgb::Color {
    rgb::Color::new(tint.0, tint.1, tint.2)
}

fn fill(tint: Tint) -> Fill {
    Fill {
        paint: colour(tint).into(),
        ..Fill::default()
    }
}

fn stroke(pen: Pen) -> Stroke {
    Stroke {
        paint: colour(pen.tint).into(),
        width: pen.width,
        opacity: NormalizedF32::ONE,
        dash: pen.dash.map(|(on, off)| StrokeDash {
            array: vec![on, off],
            offset: 0.0,
        }),
        ..Stroke::default()
    }
}

fn draw(surface: &mut Surface<'_>, fonts: &Fonts, ink: &Ink) -> Result<(), String> {
    match ink {
        Ink::Text(text) => draw_text(surface, fonts, text),
        Ink::Shape {
            steps,
            fill: inside,
            pen,
        } => {
            let mut path = PathBuilder::new();
            for step in steps {
                match *step {
                    Step::Move(p) => path.move_to(p.x, p.y),
                    Step::Line(p) => path.line_to(p.x, p.y),
                    Step::Curve(a, b, p) => path.cubic_to(a.x, a.y, b.x, b.y, p.x, p.y),
                    Step::Close => path.close(),
                }
            }
            surface.set_fill(inside.map(fill));
            surface.set_stroke(pen.map(stroke));
            if let Some(path) = path.finish()
                && (inside.is_some() || pen.is_some())
            {
                surface.draw_path(&path);
            }
        }
        Ink::Picture { rect, logo } => {
            let size = Size::from_wh(rect.width(), rect.height())
                .ok_or_else(|| "a picture has no size".to_owned())?;
            surface.push_transform(&Transform::from_translate(rect.min.x, rect.min.y));
            let drawn = draw_picture(surface, logo, size);
            surface.pop();
            drawn?;
        }
    }
    Ok(())
}

fn draw_picture(surface: &mut Surface<'_>, logo: &Logo, size: Size) -> Result<(), String> {
    let data = || krilla::Data::from(logo.bytes().to_vec());
    match logo.kind() {
        LogoKind::Png => surface.draw_image(Image::from_png(data(), true)?, size),
        LogoKind::Jpeg => surface.draw_image(Image::from_jpeg(data(), true)?, size),
        LogoKind::Svg => {
            surface
                .draw_svg(logo.tree(), size, SvgSettings::default())
                .ok_or_else(|| "the picture cannot be drawn".to_owned())?;
        }
    }
    Ok(())
}

fn draw_text(surface: &mut Surface<'_>, fonts: &Fonts, text: &Text) {
    let glyphs: Vec<KrillaGlyph> = text
        .line
        .glyphs
        .iter()
        .map(|glyph| {
            KrillaGlyph::new(
                GlyphId::new(u32::from(glyph.id)),
                glyph.advance,
                glyph.right,
                glyph.up,
                0.0,
                glyph.range.clone(),
                None,
            )
        })
        .collect();
    surface.set_fill(Some(fill(text.tint)));
    surface.set_stroke(None);
    let at = if text.is_turned {
        // To the right becomes upward, and downward to the right.
        let turn = Transform::from_row(0.0, -1.0, 1.0, 0.0, text.at.x, text.at.y);
        surface.push_transform(&turn);
        Point::from_xy(0.0, 0.0)
    } else {
        Point::from_xy(text.at.x, text.at.y)
    };
    surface.draw_glyphs(
        at,
        &glyphs,
        fonts.of(text.face),
        &text.line.text,
        text.size,
        false,
    );
    if text.is_turned {
        surface.pop();
    }
}

/// Turns an element into its node; `None` for one that holds nothing.
fn node(element: &Element, marks: &mut BTreeMap<(usize, usize), Identifier>) -> Option<Node> {
    let children: Vec<Node> = element
        .children
        .iter()
        .filter_map(|child| match child {
            Child::Element(element) => node(element, marks),
            Child::Item { page, item } => marks.remove(&(*page, *item)).map(Node::Leaf),
        })
        .collect();
    if children.is_empty() {
        return None;
    }
    let group = match &element.role {
        Role::Section => TagGroup::with_children(Tag::Section, children),
        Role::Heading(level, title) => {
            let level = NonZeroU16::new(*level).unwrap_or(NonZeroU16::MIN);
            TagGroup::with_children(Tag::Hn(level, Some(title.clone())), children)
        }
        Role::Paragraph => TagGroup::with_children(Tag::P, children),
        Role::Table => TagGroup::with_children(Tag::Table, children),
        Role::TableHead => TagGroup::with_children(Tag::THead, children),
        Role::TableBody => TagGroup::with_children(Tag::TBody, children),
        Role::Row => TagGroup::with_children(Tag::TR, children),
        Role::HeadCell => TagGroup::with_children(Tag::TH(TableHeaderScope::Column), children),
        Role::RowHead => TagGroup::with_children(Tag::TH(TableHeaderScope::Row), children),
        Role::Cell => TagGroup::with_children(Tag::TD, children),
        Role::Figure(says) => TagGroup::with_children(Tag::Figure(Some(says.clone())), children),
    };
    Some(Node::Group(group))
}

fn find_headings(elements: &[Element], found: &mut Vec<(String, usize)>) {
    for element in elements {
        if let Role::Heading(_, title) = &element.role
            && let Some(Child::Item { page, .. }) = element.children.first()
        {
            found.push((title.clone(), *page));
        }
        for child in &element.children {
            if let Child::Element(element) = child {
                find_headings(std::slice::from_ref(element), found);
            }
        }
    }
}
