//! Typed values to tree: a serde serializer.
//!
//! It only builds the tree; `print` decides how it looks. Fields left out by their type's own rules
//! are left out here.

use std::fmt;

use serde::ser::{
    self, Error as _, Impossible, Serialize, SerializeMap, SerializeSeq, SerializeStruct,
    SerializeStructVariant, SerializeTuple, SerializeTupleStruct,
};

use super::tree::{Field, Node, Value};

/// Builds the tree of a value.
pub(super) fn encode<T: Serialize>(value: &T) -> Result<Node, Unwritable> {
    value.serialize(Writer)
}

/// A value that the file has no spelling for; no type of the file makes one.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub(super) struct Unwritable(String);

impl ser::Error for Unwritable {
    fn custom<T: fmt::Display>(message: T) -> Self {
        Self(message.to_string())
    }
}

struct Writer;

fn whole(n: impl TryInto<i64>) -> Result<Node, Unwritable> {
    n.try_into()
        .map(|n| Node::new(Value::Whole(n)))
        .map_err(|_too_large| Unwritable::custom("a number too large"))
}

fn unwritable<T>(what: &str) -> Result<T, Unwritable> {
    Err(Unwritable::custom(format!("the file has no {what}")))
}

impl ser::Serializer for Writer {
    type Ok = Node;
    type Error = Unwritable;
    type SerializeSeq = Items;
    type SerializeTuple = Items;
    type SerializeTupleStruct = Items;
    type SerializeTupleVariant = Impossible<Node, Unwritable>;
    type SerializeMap = Entries;
    type SerializeStruct = Fields;
    type SerializeStructVariant = Fields;

    fn serialize_bool(self, v: bool) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Bool(v)))
    }
    fn serialize_i8(self, v: i8) -> Result<Node, Unwritable> {
        whole(v)
    }
    fn serialize_i16(self, v: i16) -> Result<Node, Unwritable> {
        whole(v)
    }
    fn serialize_i32(self, v: i32) -> Result<Node, Unwritable> {
        whole(v)
    }
    fn serialize_i64(self, v: i64) -> Result<Node, Unwritable> {
        whole(v)
    }
    fn serialize_u8(self, v: u8) -> Result<Node, Unwritable> {
        whole(v)
    }
    fn serialize_u16(self, v: u16) -> Result<Node, Unwritable> {
        whole(v)
    }
    fn serialize_u32(self, v: u32) -> Result<Node, Unwritable> {
        whole(v)
    }
    fn serialize_u64(self, v: u64) -> Result<Node, Unwritable> {
        whole(v)
    }
    fn serialize_f32(self, v: f32) -> Result<Node, Unwritable> {
        self.serialize_f64(v.into())
    }
    fn serialize_f64(self, v: f64) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Number(v)))
    }
    fn serialize_char(self, v: char) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Text(v.to_string())))
    }
    fn serialize_str(self, v: &str) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Text(v.to_owned())))
    }
    fn serialize_bytes(self, _v: &[u8]) -> Result<Node, Unwritable> {
        unwritable("bytes")
    }
    fn serialize_none(self) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Nothing))
    }
    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Result<Node, Unwritable> {
        value.serialize(self)
    }
    fn serialize_unit(self) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Nothing))
    }
    fn serialize_unit_struct(self, _name: &'static str) -> Result<Node, Unwritable> {
        self.serialize_unit()
    }
    fn serialize_unit_variant(
        self,
        _name: &'static str,
        _index: u32,
        variant: &'static str,
    ) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Word(variant.to_owned())))
    }
    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        value: &T,
    ) -> Result<Node, Unwritable> {
        value.serialize(self)
    }
    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _name: &'static str,
        _index: u32,
        variant: &'static str,
        value: &T,
    ) -> Result<Node, Unwritable> {
        let content = value.serialize(self)?;
        Ok(Node::new(Value::Tuple(
            Some(variant.to_owned()),
            vec![content],
        )))
    }
    fn serialize_seq(self, length: Option<usize>) -> Result<Items, Unwritable> {
        Ok(Items {
            items: Vec::with_capacity(length.unwrap_or(0)),
            is_tuple: false,
        })
    }
    fn serialize_tuple(self, length: usize) -> Result<Items, Unwritable> {
        Ok(Items {
            items: Vec::with_capacity(length),
            is_tuple: true,
        })
    }
    fn serialize_tuple_struct(
        self,
        _name: &'static str,
        length: usize,
    ) -> Result<Items, Unwritable> {
        self.serialize_tuple(length)
    }
    fn serialize_tuple_variant(
        self,
        _name: &'static str,
        _index: u32,
        _variant: &'static str,
        _length: usize,
    ) -> Result<Impossible<Node, Unwritable>, Unwritable> {
        unwritable("variants of several values")
    }
    fn serialize_map(self, _length: Option<usize>) -> Result<Entries, Unwritable> {
        Ok(Entries {
            entries: Vec::new(),
            key: None,
        })
    }
    fn serialize_struct(self, _name: &'static str, length: usize) -> Result<Fields, Unwritable> {
        Ok(Fields {
            variant: None,
            fields: Vec::with_capacity(length),
        })
    }
    fn serialize_struct_variant(
        self,
        _name: &'static str,
        _index: u32,
        variant: &'static str,
        length: usize,
    ) -> Result<Fields, Unwritable> {
        Ok(Fields {
            variant: Some(variant.to_owned()),
            fields: Vec::with_capacity(length),
        })
    }
}

struct Items {
    items: Vec<Node>,
    is_tuple: bool,
}

impl Items {
    fn push<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unwritable> {
        self.items.push(value.serialize(Writer)?);
        Ok(())
    }

    fn close(self) -> Node {
        Node::new(if self.is_tuple {
            Value::Tuple(None, self.items)
        } else {
            Value::List(self.items)
        })
    }
}

impl SerializeSeq for Items {
    type Ok = Node;
    type Error = Unwritable;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unwritable> {
        self.push(value)
    }
    fn end(self) -> Result<Node, Unwritable> {
        Ok(self.close())
    }
}

impl SerializeTuple for Items {
    type Ok = Node;
    type Error = Unwritable;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unwritable> {
        self.push(value)
    }
    fn end(self) -> Result<Node, Unwritable> {
        Ok(self.close())
    }
}

impl SerializeTupleStruct for Items {
    type Ok = Node;
    type Error = Unwritable;

    fn serialize_field<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unwritable> {
        self.push(value)
    }
    fn end(self) -> Result<Node, Unwritable> {
        Ok(self.close())
    }
}

struct Entries {
    entries: Vec<(Node, Node)>,
    key: Option<Node>,
}

impl SerializeMap for Entries {
    type Ok = Node;
    type Error = Unwritable;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Result<(), Unwritable> {
        self.key = Some(key.serialize(Writer)?);
        Ok(())
    }
    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Unwritable> {
        let Some(key) = self.key.take() else {
            return unwritable("value without a key");
        };
        self.entries.push((key, value.serialize(Writer)?));
        Ok(())
    }
    fn end(self) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Map(self.entries)))
    }
}

struct Fields {
    variant: Option<String>,
    fields: Vec<Field>,
}

impl Fields {
    fn push<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        value: &T,
    ) -> Result<(), Unwritable> {
        self.fields.push(Field {
            name: name.to_owned(),
            at: 0,
            value: value.serialize(Writer)?,
        });
        Ok(())
    }
}

impl SerializeStruct for Fields {
    type Ok = Node;
    type Error = Unwritable;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        value: &T,
    ) -> Result<(), Unwritable> {
        self.push(name, value)
    }
    fn end(self) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Struct(self.variant, self.fields)))
    }
}

impl SerializeStructVariant for Fields {
    type Ok = Node;
    type Error = Unwritable;

    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        value: &T,
    ) -> Result<(), Unwritable> {
        self.push(name, value)
    }
    fn end(self) -> Result<Node, Unwritable> {
        Ok(Node::new(Value::Struct(self.variant, self.fields)))
    }
}
