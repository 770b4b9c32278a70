//! Tree to typed values: a serde deserializer that knows lines.
//!
//! Every failure carries the offset of the value that caused it and the path to it, in words for
//! people who write the file. It reads one value at a time, so that a caller can gather the failures
//! of many.

mod words;

use std::collections::BTreeSet;

use serde::de::value::StrDeserializer;
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, Error as _, Expected,
    IntoDeserializer as _, MapAccess, SeqAccess, Unexpected, VariantAccess, Visitor,
};

use super::problem::Fault;
use super::tree::{Field, Node, Value, quoted};
use words::one_of;

/// Reads a value of a type.
pub(super) fn decode<T: DeserializeOwned>(node: &Node) -> Result<T, Fault> {
    T::deserialize(Reader(node)).map_err(|fault| fault.or_at(node.at))
}

#[derive(Clone, Copy)]
struct Reader<'de>(&'de Node);

impl Reader<'_> {
    fn wrong(self, expected: &dyn Expected) -> Fault {
        Fault::invalid_type(Unexpected::Other(&self.0.found()), expected).or_at(self.0.at)
    }

    fn nested<T>(self, result: Result<T, Fault>) -> Result<T, Fault> {
        result.map_err(|fault| fault.or_at(self.0.at))
    }
}

impl<'de> Reader<'de> {
    fn seq<V: Visitor<'de>>(self, items: &'de [Node], visitor: V) -> Result<V::Value, Fault> {
        let mut access = Items {
            items: items.iter(),
            index: 0,
        };
        let value = self.nested(visitor.visit_seq(&mut access))?;
        match access.items.next() {
            None => Ok(value),
            Some(extra) => Err(Fault::new(
                extra.at,
                format!("found more than the {} values expected here", access.index),
            )),
        }
    }

    fn structure<V: Visitor<'de>>(
        self,
        fields: &'de [Field],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.nested(
            visitor.visit_map(Entries {
                rest: fields
                    .iter()
                    .map(|f| (Key::Name(&f.name, f.at), &f.value))
                    .collect::<Vec<_>>()
                    .into_iter(),
                value: None,
                is_map: false,
                seen: BTreeSet::new(),
            }),
        )
    }

    fn map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        let entries: Vec<_> = match &self.0.value {
            Value::Map(entries) => entries.iter().map(|(k, v)| (Key::Node(k), v)).collect(),
            Value::Object(fields) => fields
                .iter()
                .map(|f| (Key::Name(&f.name, f.at), &f.value))
                .collect(),
            _ => return Err(self.wrong(&visitor)),
        };
        self.nested(visitor.visit_map(Entries {
            rest: entries.into_iter(),
            value: None,
            is_map: true,
            seen: BTreeSet::new(),
        }))
    }
}

impl<'de> Deserializer<'de> for Reader<'de> {
    type Error = Fault;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        let result = match &self.0.value {
            Value::Nothing => visitor.visit_unit(),
            Value::Bool(value) => visitor.visit_bool(*value),
            Value::Whole(value) => visitor.visit_i64(*value),
            Value::Number(value) => visitor.visit_f64(*value),
            Value::Text(text) => visitor.visit_borrowed_str(text),
            Value::List(items) | Value::Tuple(None, items) => return self.seq(items, visitor),
            Value::Struct(None, fields) | Value::Object(fields) => {
                return self.structure(fields, visitor);
            }
            Value::Map(_) => return self.map(visitor),
            Value::Word(_) | Value::Tuple(Some(_), _) | Value::Struct(Some(_), _) => {
                return Err(self.wrong(&visitor));
            }
        };
        self.nested(result)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        let inner = match &self.0.value {
            Value::Nothing => return self.nested(visitor.visit_none()),
            Value::Tuple(Some(name), items) if name == "Some" => match items.as_slice() {
                [inner] => Self(inner),
                _ => {
                    return Err(Fault::new(
                        self.0.at,
                        "found Some, expected one value in it",
                    ));
                }
            },
            _ => self,
        };
        self.nested(visitor.visit_some(inner))
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.nested(visitor.visit_newtype_struct(self))
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::List(items) => self.seq(items, visitor),
            _ => Err(self.wrong(&visitor)),
        }
    }

    fn deserialize_tuple<V: Visitor<'de>>(
        self,
        length: usize,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::List(items) | Value::Tuple(None, items) => {
                if items.len() < length {
                    return Err(Fault::invalid_length(items.len(), &visitor).or_at(self.0.at));
                }
                self.seq(items, visitor)
            }
            _ => Err(self.wrong(&visitor)),
        }
    }

    fn deserialize_tuple_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        length: usize,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_tuple(length, visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.map(visitor)
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        name: &'static str,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::Object(fields) => self.structure(fields, visitor),
            Value::Struct(found, fields) if found.as_ref().is_none_or(|n| n == name) => {
                self.structure(fields, visitor)
            }
            Value::Tuple(found, items)
                if items.is_empty() && found.as_ref().is_none_or(|n| n == name) =>
            {
                self.structure(&[], visitor)
            }
            _ => Err(self.wrong(&visitor)),
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        let (name, content) = match &self.0.value {
            Value::Word(name) | Value::Text(name) => (name.as_str(), Content::Nothing),
            Value::Tuple(Some(name), items) => (name.as_str(), Content::Items(items)),
            Value::Struct(Some(name), fields) => (name.as_str(), Content::Fields(fields)),
            Value::Object(fields) => match fields.as_slice() {
                [field] => (field.name.as_str(), Content::Node(&field.value)),
                _ => {
                    return Err(Fault::new(
                        self.0.at,
                        format!(
                            "found {} entries in braces, expected one of {}",
                            fields.len(),
                            one_of(variants)
                        ),
                    ));
                }
            },
            _ => {
                return Err(Fault::new(
                    self.0.at,
                    format!("found {}, expected {}", self.0.found(), one_of(variants)),
                ));
            }
        };
        self.nested(visitor.visit_enum(Variant {
            of: self,
            name,
            content,
        }))
    }

    fn deserialize_identifier<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match &self.0.value {
            Value::Text(text) | Value::Word(text) => self.nested(visitor.visit_borrowed_str(text)),
            _ => Err(self.wrong(&visitor)),
        }
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct ignored_any
    }
}

struct Items<'de> {
    items: std::slice::Iter<'de, Node>,
    index: usize,
}

impl<'de> SeqAccess<'de> for &mut Items<'de> {
    type Error = Fault;

    fn next_element_seed<T: DeserializeSeed<'de>>(
        &mut self,
        seed: T,
    ) -> Result<Option<T::Value>, Fault> {
        let Some(node) = self.items.next() else {
            return Ok(None);
        };
        let index = self.index;
        self.index += 1;
        seed.deserialize(Reader(node))
            .map(Some)
            .map_err(|fault| fault.or_at(node.at).under(format!("[{index}]")))
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.items.len())
    }
}

#[derive(Clone, Copy)]
enum Key<'de> {
    Name(&'de str, usize),
    Node(&'de Node),
}

struct Entries<'de> {
    rest: std::vec::IntoIter<(Key<'de>, &'de Node)>,
    value: Option<(Key<'de>, &'de Node)>,
    is_map: bool,
    /// Keys met so far.
    seen: BTreeSet<&'de str>,
}

impl<'de> MapAccess<'de> for Entries<'de> {
    type Error = Fault;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Fault> {
        let Some((key, value)) = self.rest.next() else {
            return Ok(None);
        };
        self.value = Some((key, value));
        let (at, text) = match key {
            Key::Name(name, at) => (at, Some(name)),
            Key::Node(node) => match &node.value {
                Value::Text(text) | Value::Word(text) => (node.at, Some(text.as_str())),
                _ => (node.at, None),
            },
        };
        if let Some(text) = text
            && !self.seen.insert(text)
        {
            let what = if self.is_map {
                quoted(text)
            } else {
                format!("the field `{text}`")
            };
            return Err(Fault::new(at, format!("{what} stands here twice")));
        }
        let key = match key {
            Key::Name(name, _) => seed.deserialize(Name(name)),
            Key::Node(node) => seed.deserialize(Reader(node)),
        };
        key.map(Some).map_err(|fault| fault.or_at(at))
    }

    fn next_value_seed<V: DeserializeSeed<'de>>(&mut self, seed: V) -> Result<V::Value, Fault> {
        let Some((key, node)) = self.value.take() else {
            return Err(Fault::custom("found no value, expected one"));
        };
        let step = || match key {
            Key::Name(name, _) if self.is_map => format!("[{}]", quoted(name)),
            Key::Name(name, _) => format!(".{name}"),
            Key::Node(key) => format!("[{}]", key.found()),
        };
        seed.deserialize(Reader(node))
            .map_err(|fault| fault.or_at(node.at).under(step()))
    }
}

/// A field's name or a JSON map's key: text, or a word where one is asked for.
struct Name<'de>(&'de str);

impl<'de> Deserializer<'de> for Name<'de> {
    type Error = Fault;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        visitor.visit_borrowed_str(self.0)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        let word: StrDeserializer<'_, Fault> = self.0.into_deserializer();
        word.deserialize_enum(name, variants, visitor)
    }

    serde::forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf option
        unit unit_struct newtype_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}

enum Content<'de> {
    Nothing,
    Items(&'de [Node]),
    Fields(&'de [Field]),
    Node(&'de Node),
}

struct Variant<'de> {
    of: Reader<'de>,
    name: &'de str,
    content: Content<'de>,
}

impl<'de> EnumAccess<'de> for Variant<'de> {
    type Error = Fault;
    type Variant = Self;

    fn variant_seed<V: DeserializeSeed<'de>>(self, seed: V) -> Result<(V::Value, Self), Fault> {
        let variant = seed.deserialize(Name(self.name))?;
        Ok((variant, self))
    }
}

impl Variant<'_> {
    fn wrong(&self, expected: &str) -> Fault {
        let found = match self.content {
            Content::Nothing => "no contents",
            _ => "other contents",
        };
        Fault::new(
            self.of.0.at,
            format!("found {} with {found}, expected {expected}", self.name),
        )
    }
}

impl<'de> VariantAccess<'de> for Variant<'de> {
    type Error = Fault;

    fn unit_variant(self) -> Result<(), Fault> {
        match self.content {
            Content::Nothing => Ok(()),
            _ => Err(self.wrong(&format!("{} alone", self.name))),
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Fault> {
        match self.content {
            Content::Items([node]) | Content::Node(node) => self.of.nested(
                seed.deserialize(Reader(node))
                    .map_err(|fault| fault.or_at(node.at)),
            ),
            _ => Err(self.wrong(&format!("{}(value)", self.name))),
        }
    }

    fn tuple_variant<V: Visitor<'de>>(self, length: usize, visitor: V) -> Result<V::Value, Fault> {
        match self.content {
            Content::Items(items) if items.len() == length => self.of.seq(items, visitor),
            Content::Node(node) => Reader(node).deserialize_tuple(length, visitor),
            _ => Err(self.wrong(&format!("{length} values"))),
        }
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        match self.content {
            Content::Fields(fields) => self.of.structure(fields, visitor),
            Content::Node(node) => Reader(node).deserialize_struct("", fields, visitor),
            _ => Err(self.wrong(&format!(
                "{}({}: value)",
                self.name,
                fields.join(": value, ")
            ))),
        }
    }
}
