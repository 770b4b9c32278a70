//! Tree to text: how RON and JSON look.
//!
//! One tree has one text. The root, its lists and the things in them take a line for each field or
//! item; whatever is deeper stays on one line where it fits.

use std::fmt;

use super::Syntax;
use super::tree::{Field, Node, Value};

/// Longest line that a nested value is kept on, indent included.
const WIDEST: usize = 100;
/// Levels that always take a line for each field: the root, its lists, and the things in them.
const OPEN_LEVELS: usize = 3;

/// Prints a tree, ending in a line feed.
pub(super) fn print(node: &Node, syntax: Syntax) -> String {
    let mut printer = Printer {
        out: String::new(),
        syntax,
    };
    printer.node(node, 0, 0);
    printer.out.push('\n');
    printer.out
}

struct Printer {
    out: String,
    syntax: Syntax,
}

/// A value with contents: its brackets and the parts between.
struct Parts<'a> {
    open: String,
    close: &'static str,
    inside: Vec<(Option<Label<'a>>, &'a Node)>,
}

enum Label<'a> {
    Name(&'a str),
    Key(&'a Node),
}

impl Printer {
    /// Prints a value whose first character stands at a column, in as few lines as its level allows.
    fn node(&mut self, node: &Node, level: usize, indent: usize) {
        let column = self.out.len() - self.out.rfind('\n').map_or(0, |i| i + 1);
        let is_open = level < OPEN_LEVELS && is_structure(node);
        if !is_open {
            let start = self.out.len();
            self.compact(node);
            let length = self.out.get(start..).map_or(0, |text| text.chars().count());
            if column + length < WIDEST || !is_structure(node) {
                return;
            }
            self.out.truncate(start);
        }
        // JSON wraps the contents of a variant in an object of its own, which adds no level.
        if let (Syntax::Json, Some((name, content))) = (self.syntax, variant(node)) {
            self.out.push_str("{\"");
            self.out.push_str(name);
            self.out.push_str("\": ");
            match content {
                Content::Node(content) => self.node(content, level, indent),
                Content::Parts(parts) => self.lines(&parts, level, indent),
            }
            self.out.push('}');
            return;
        }
        match parts(node, self.syntax) {
            Some(parts) => self.lines(&parts, level, indent),
            None => self.compact(node),
        }
    }

    fn lines(&mut self, parts: &Parts<'_>, level: usize, indent: usize) {
        self.out.push_str(&parts.open);
        let inner = indent + 4;
        let last = parts.inside.len().saturating_sub(1);
        for (i, (label, node)) in parts.inside.iter().enumerate() {
            self.new_line(inner);
            self.label(label.as_ref());
            self.node(node, level + 1, inner);
            if i < last || self.syntax == Syntax::Ron {
                self.out.push(',');
            }
        }
        if !parts.inside.is_empty() {
            self.new_line(indent);
        }
        self.out.push_str(parts.close);
    }

    fn new_line(&mut self, indent: usize) {
        self.out.push('\n');
        self.out.extend(std::iter::repeat_n(' ', indent));
    }

    fn label(&mut self, label: Option<&Label<'_>>) {
        match label {
            None => return,
            Some(Label::Name(name)) if self.syntax == Syntax::Ron => self.out.push_str(name),
            Some(Label::Name(name)) => self.text(name),
            Some(Label::Key(key)) => self.compact(key),
        }
        self.out.push_str(": ");
    }

    fn compact(&mut self, node: &Node) {
        match &node.value {
            Value::Nothing => self.out.push_str(match self.syntax {
                Syntax::Ron => "None",
                Syntax::Json => "null",
            }),
            Value::Bool(value) => self.out.push_str(if *value { "true" } else { "false" }),
            Value::Whole(value) => self.out.push_str(&value.to_string()),
            Value::Number(value) => self.format(format_args!("{value:?}")),
            Value::Text(text) => self.text(text),
            Value::Word(word) if self.syntax == Syntax::Ron => self.out.push_str(word),
            Value::Word(word) => self.text(word),
            _ => {
                let wrapped = (self.syntax == Syntax::Json)
                    .then(|| variant(node))
                    .flatten();
                if let Some((name, content)) = wrapped {
                    self.out.push_str("{\"");
                    self.out.push_str(name);
                    self.out.push_str("\": ");
                    match content {
                        Content::Node(node) => self.compact(node),
                        Content::Parts(parts) => self.compact_parts(&parts),
                    }
                    self.out.push('}');
                } else if let Some(parts) = parts(node, self.syntax) {
                    self.compact_parts(&parts);
                }
            }
        }
    }

    fn compact_parts(&mut self, parts: &Parts<'_>) {
        self.out.push_str(&parts.open);
        for (i, (label, node)) in parts.inside.iter().enumerate() {
            if i > 0 {
                self.out.push_str(", ");
            }
            self.label(label.as_ref());
            self.compact(node);
        }
        self.out.push_str(parts.close);
    }

    fn format(&mut self, text: fmt::Arguments<'_>) {
        let text = text.to_string();
        self.out.push_str(&text);
    }

    fn text(&mut self, text: &str) {
        self.out.push('"');
        for c in text.chars() {
            match c {
                '"' => self.out.push_str("\\\""),
                '\\' => self.out.push_str("\\\\"),
                '\n' => self.out.push_str("\\n"),
                '\r' => self.out.push_str("\\r"),
                '\t' => self.out.push_str("\\t"),
                // The first plane alone needs escapes, so four digits suffice for JSON.
                c if c.is_control() || is_invisible(c) => {
                    let number = u32::from(c);
                    match self.syntax {
                        Syntax::Ron => self.format(format_args!("\\u{{{number:x}}}")),
                        Syntax::Json => self.format(format_args!("\\u{number:04x}")),
                    }
                }
                c => self.out.push(c),
            }
        }
        self.out.push('"');
    }
}

/// Tells whether a character would change how the rest of a line reads, or not show at all.
fn is_invisible(c: char) -> bool {
    matches!(c, '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{feff}')
}

fn is_structure(node: &Node) -> bool {
    match &node.value {
        Value::List(items) | Value::Tuple(_, items) => !items.is_empty(),
        Value::Struct(_, fields) | Value::Object(fields) => !fields.is_empty(),
        Value::Map(entries) => !entries.is_empty(),
        _ => false,
    }
}

enum Content<'a> {
    Node(&'a Node),
    Parts(Parts<'a>),
}

/// Returns the name and contents of a variant with contents.
fn variant(node: &Node) -> Option<(&str, Content<'_>)> {
    match &node.value {
        Value::Tuple(Some(name), items) => match items.as_slice() {
            [only] => Some((name, Content::Node(only))),
            _ => None,
        },
        Value::Struct(Some(name), fields) => Some((
            name,
            Content::Parts(Parts {
                open: "{".to_owned(),
                close: "}",
                inside: named(fields),
            }),
        )),
        _ => None,
    }
}

fn named(fields: &[Field]) -> Vec<(Option<Label<'_>>, &Node)> {
    fields
        .iter()
        .map(|f| (Some(Label::Name(&f.name)), &f.value))
        .collect()
}

fn unnamed(items: &[Node]) -> Vec<(Option<Label<'_>>, &Node)> {
    items.iter().map(|item| (None, item)).collect()
}

fn parts(node: &Node, syntax: Syntax) -> Option<Parts<'_>> {
    let is_ron = syntax == Syntax::Ron;
    let brackets = |ron: (&str, &'static str), json: (&str, &'static str)| {
        let (open, close) = if is_ron { ron } else { json };
        (open.to_owned(), close)
    };
    let ((open, close), inside) = match &node.value {
        Value::List(items) => (("[".to_owned(), "]"), unnamed(items)),
        Value::Tuple(name, items) => {
            let (open, close) = brackets(("(", ")"), ("[", "]"));
            let name = name.as_deref().filter(|_| is_ron).unwrap_or_default();
            ((format!("{name}{open}"), close), unnamed(items))
        }
        Value::Struct(name, fields) => {
            let (open, close) = brackets(("(", ")"), ("{", "}"));
            let name = name.as_deref().filter(|_| is_ron).unwrap_or_default();
            ((format!("{name}{open}"), close), named(fields))
        }
        Value::Object(fields) => (brackets(("(", ")"), ("{", "}")), named(fields)),
        Value::Map(entries) => (
            ("{".to_owned(), "}"),
            entries
                .iter()
                .map(|(k, v)| (Some(Label::Key(k)), v))
                .collect(),
        ),
        _ => return None,
    };
    Some(Parts {
        open,
        close,
        inside,
    })
}
