//! A file as a tree of values, each knowing where it stands in the text.
//!
//! Both spellings, RON and JSON, are read into this tree and written from it. The tree knows nothing
//! of scenarios.

/// A value and the offset at which it stands.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    /// Offset of its first byte.
    pub(super) at: usize,
    /// The value.
    pub(super) value: Value,
}

/// A value.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    /// `None` or `null`.
    Nothing,
    /// `true` or `false`.
    Bool(bool),
    /// A number without a point.
    Whole(i64),
    /// A number with a point or an exponent.
    Number(f64),
    /// Text in quotes.
    Text(String),
    /// A bare word, such as a variant without contents.
    Word(String),
    /// `[a, b]`.
    List(Vec<Node>),
    /// `(a, b)` or `Name(a, b)`.
    Tuple(Option<String>, Vec<Node>),
    /// `(a: b)` or `Name(a: b)`.
    Struct(Option<String>, Vec<Field>),
    /// `{"a": b}` in JSON.
    Object(Vec<Field>),
    /// `{a: b}` in RON.
    Map(Vec<(Node, Node)>),
}

/// A named field.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Field {
    /// Name.
    pub(super) name: String,
    /// Offset of the name.
    pub(super) at: usize,
    /// Value.
    pub(super) value: Node,
}

impl Node {
    /// Makes a node that stands nowhere, for writing.
    pub(super) fn new(value: Value) -> Self {
        Self { at: 0, value }
    }

    /// Lists the named fields of a structure; empty for anything else.
    pub(super) fn fields(&self) -> &[Field] {
        match &self.value {
            Value::Struct(_, fields) | Value::Object(fields) => fields,
            _ => &[],
        }
    }

    /// Returns a named field.
    pub(super) fn field(&self, name: &str) -> Option<&Self> {
        self.fields()
            .iter()
            .find(|field| field.name == name)
            .map(|field| &field.value)
    }

    /// Lists the items of a list or tuple; empty for anything else.
    pub(super) fn items(&self) -> &[Self] {
        match &self.value {
            Value::List(items) | Value::Tuple(_, items) => items,
            _ => &[],
        }
    }

    /// Returns the text, if it is text.
    pub(super) fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }

    /// Returns what stands under a text key of a map, the key's node first.
    pub(super) fn entry(&self, key: &str) -> Option<(usize, &Self)> {
        match &self.value {
            Value::Map(entries) => entries
                .iter()
                .find(|(k, _)| k.text() == Some(key))
                .map(|(k, v)| (k.at, v)),
            Value::Object(fields) => fields
                .iter()
                .find(|f| f.name == key)
                .map(|f| (f.at, &f.value)),
            _ => None,
        }
    }

    /// Lists the text keys of a map with their offsets.
    pub(super) fn keys(&self) -> Vec<(&str, usize)> {
        match &self.value {
            Value::Map(entries) => entries
                .iter()
                .filter_map(|(key, _)| Some((key.text()?, key.at)))
                .collect(),
            Value::Object(fields) => fields.iter().map(|f| (f.name.as_str(), f.at)).collect(),
            _ => Vec::new(),
        }
    }

    /// Walks the node and everything below it, outermost first.
    pub(super) fn walk<'a>(&'a self, visit: &mut impl FnMut(&'a Field)) {
        match &self.value {
            Value::Nothing
            | Value::Bool(_)
            | Value::Whole(_)
            | Value::Number(_)
            | Value::Text(_)
            | Value::Word(_) => {}
            Value::List(items) | Value::Tuple(_, items) => {
                for item in items {
                    item.walk(visit);
                }
            }
            Value::Struct(_, fields) | Value::Object(fields) => {
                for field in fields {
                    visit(field);
                    field.value.walk(visit);
                }
            }
            Value::Map(entries) => {
                for (_, value) in entries {
                    value.walk(visit);
                }
            }
        }
    }

    /// Says in a few words what was found here.
    pub(super) fn found(&self) -> String {
        match &self.value {
            Value::Nothing => "nothing (None or null)".to_owned(),
            Value::Bool(value) => value.to_string(),
            Value::Whole(value) => value.to_string(),
            Value::Number(value) => format!("{value:?}"),
            Value::Text(text) => quoted(text),
            Value::Word(word) => format!("the word {}", shortened(word)),
            Value::List(_) => "a list".to_owned(),
            Value::Tuple(None, _) => "values in parentheses".to_owned(),
            Value::Struct(None, _) => "fields in parentheses".to_owned(),
            Value::Tuple(Some(name), _) | Value::Struct(Some(name), _) => {
                format!("{}(…)", shortened(name))
            }
            Value::Object(_) | Value::Map(_) => "entries in braces".to_owned(),
        }
    }
}

/// Quotes a text, shortened to what an eye takes in.
pub(super) fn quoted(text: &str) -> String {
    format!("{:?}", shortened(text))
}

fn shortened(text: &str) -> String {
    const MOST: usize = 40;
    if text.chars().count() <= MOST {
        return text.to_owned();
    }
    let start: String = text.chars().take(MOST).collect();
    format!("{start}…")
}
