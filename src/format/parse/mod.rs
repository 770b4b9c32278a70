//! Text to tree: one small parser for RON and JSON.
//!
//! It stops at the first error of syntax and says what it found and what it expected. It bounds the
//! depth of nesting and the size of numbers, so that no text makes it panic or overflow.

mod literal;

use super::Syntax;
use super::problem::{Fault, position};
use super::tree::{Field, Node, Value};

/// Deepest nesting read; a scenario needs eight levels.
const DEEPEST: usize = 64;

/// A file read into a tree, with the comment lines at its very top.
pub(super) struct Parsed {
    /// Comment lines, without their slashes.
    pub(super) comments: Vec<String>,
    /// The tree.
    pub(super) root: Node,
}

/// Reads a text.
pub(super) fn parse(text: &str, syntax: Syntax) -> Result<Parsed, Fault> {
    let mut parser = Parser {
        text,
        at: 0,
        syntax,
    };
    parser.eat("\u{feff}");
    let comments = parser.top_comments();
    parser.space()?;
    if syntax == Syntax::Ron {
        parser.extensions()?;
    }
    let root = parser.value(0)?;
    parser.space()?;
    if parser.peek().is_some() {
        return Err(parser.expected("the end of the file"));
    }
    Ok(Parsed { comments, root })
}

struct Parser<'a> {
    text: &'a str,
    at: usize,
    syntax: Syntax,
}

impl<'a> Parser<'a> {
    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    fn peek(&self) -> Option<char> {
        self.rest().chars().next()
    }

    fn next(&mut self) -> Option<char> {
        let c = self.peek()?;
        self.at += c.len_utf8();
        Some(c)
    }

    fn eat(&mut self, what: &str) -> bool {
        let is_there = self.rest().starts_with(what);
        if is_there {
            self.at += what.len();
        }
        is_there
    }

    fn take_while(&mut self, wanted: impl Fn(char) -> bool) -> &'a str {
        let rest = self.rest();
        let end = rest.find(|c| !wanted(c)).unwrap_or(rest.len());
        self.at += end;
        rest.get(..end).unwrap_or_default()
    }

    fn expected(&self, what: &str) -> Fault {
        Fault::new(self.at, format!("found {}, expected {what}", self.found()))
    }

    fn found(&self) -> String {
        match self.peek() {
            None => "the end of the file".to_owned(),
            Some(c) if is_word(c) => {
                let word: String = self
                    .rest()
                    .chars()
                    .take_while(|c| is_word(*c))
                    .take(30)
                    .collect();
                format!("'{word}'")
            }
            Some(c) => format!("'{}'", c.escape_debug()),
        }
    }

    /// Gathers the comment lines before anything else.
    fn top_comments(&mut self) -> Vec<String> {
        let mut comments = Vec::new();
        if self.syntax == Syntax::Json {
            return comments;
        }
        loop {
            let start = self.at;
            self.take_while(char::is_whitespace);
            if !self.eat("//") {
                self.at = start;
                return comments;
            }
            let line = self.take_while(|c| c != '\n');
            comments.push(line.strip_prefix(' ').unwrap_or(line).trim_end().to_owned());
        }
    }

    fn space(&mut self) -> Result<(), Fault> {
        loop {
            self.take_while(char::is_whitespace);
            let start = self.at;
            let is_comment = self.rest().starts_with("//") || self.rest().starts_with("/*");
            if !is_comment {
                return Ok(());
            }
            if self.syntax == Syntax::Json {
                return Err(
                    Fault::new(start, "found a comment, which JSON does not have").with_hint(Some(
                        "put it into the list `comments`, or use RON".to_owned(),
                    )),
                );
            }
            if self.eat("//") {
                self.take_while(|c| c != '\n');
            } else {
                self.block_comment()?;
            }
        }
    }

    fn block_comment(&mut self) -> Result<(), Fault> {
        let start = self.at;
        let mut depth = 0_usize;
        loop {
            if self.eat("/*") {
                depth += 1;
            } else if self.eat("*/") {
                depth -= 1;
                if depth == 0 {
                    return Ok(());
                }
            } else if self.next().is_none() {
                return Err(Fault::new(start, "this comment is not closed; expected */"));
            }
        }
    }

    fn extensions(&mut self) -> Result<(), Fault> {
        while self.rest().starts_with("#!") {
            self.at += 2;
            for part in ["[", "enable", "("] {
                self.token(part, "#![enable(implicit_some)]")?;
            }
            loop {
                self.space()?;
                let start = self.at;
                let name = self.take_while(is_word);
                if name.is_empty() && self.eat(")") {
                    break;
                }
                if name != "implicit_some" {
                    return Err(Fault::new(
                        start,
                        format!("found the extension '{name}', expected implicit_some"),
                    ));
                }
                self.space()?;
                if !self.eat(",") {
                    self.token(")", "',' or ')'")?;
                    break;
                }
            }
            self.token("]", "']'")?;
            self.space()?;
        }
        Ok(())
    }

    fn token(&mut self, token: &str, expected: &str) -> Result<(), Fault> {
        self.space()?;
        if self.eat(token) {
            Ok(())
        } else {
            Err(self.expected(expected))
        }
    }

    fn value(&mut self, depth: usize) -> Result<Node, Fault> {
        self.space()?;
        let at = self.at;
        if depth > DEEPEST {
            return Err(Fault::new(
                at,
                format!("this is nested more than {DEEPEST} levels deep"),
            ));
        }
        let is_ron = self.syntax == Syntax::Ron;
        let value = match self.peek() {
            Some('"') => Value::Text(self.string()?),
            Some('[') => {
                self.at += 1;
                Value::List(self.items(at, '[', ']', depth)?)
            }
            Some('{') if is_ron => self.map(at, depth)?,
            Some('{') => self.object(at, depth)?,
            Some('(') if is_ron => self.parentheses(None, at, depth)?,
            Some('\'') if is_ron => {
                return Err(self.expected("text in double quotes"));
            }
            Some('r') if is_ron && self.is_raw_string() => Value::Text(self.raw_string()?),
            Some(c) if c.is_ascii_digit() || matches!(c, '-' | '+' | '.') => self.number()?,
            Some(c) if is_word(c) => self.word(at, depth)?,
            _ => return Err(self.expected("a value")),
        };
        Ok(Node { at, value })
    }

    fn word(&mut self, at: usize, depth: usize) -> Result<Value, Fault> {
        let is_ron = self.syntax == Syntax::Ron;
        let word = self.take_while(is_word);
        match word {
            "true" => return Ok(Value::Bool(true)),
            "false" => return Ok(Value::Bool(false)),
            "null" if !is_ron => return Ok(Value::Nothing),
            "inf" | "NaN" if is_ron => {
                return Err(Fault::new(
                    at,
                    format!("found {word}, expected a number that can be counted to"),
                ));
            }
            _ if !is_ron => {
                self.at = at;
                return Err(self.expected("a value; text stands in double quotes"));
            }
            _ => {}
        }
        let end = self.at;
        self.space()?;
        if self.peek() == Some('(') {
            return self.parentheses(Some(word.to_owned()), at, depth);
        }
        self.at = end;
        Ok(if word == "None" {
            Value::Nothing
        } else {
            Value::Word(word.to_owned())
        })
    }

    /// Reads what stands in parentheses: fields if the first thing is a name and a colon.
    fn parentheses(
        &mut self,
        name: Option<String>,
        opened: usize,
        depth: usize,
    ) -> Result<Value, Fault> {
        self.at += 1;
        self.space()?;
        if self.eat(")") {
            return Ok(Value::Tuple(name, Vec::new()));
        }
        let start = self.at;
        self.eat("r#");
        let is_fields = !self.take_while(is_word).is_empty() && {
            self.space()?;
            self.peek() == Some(':')
        };
        self.at = start;
        if is_fields {
            self.fields(opened, depth)
                .map(|fields| Value::Struct(name, fields))
        } else {
            self.items(opened, '(', ')', depth)
                .map(|items| Value::Tuple(name, items))
        }
    }

    fn fields(&mut self, opened: usize, depth: usize) -> Result<Vec<Field>, Fault> {
        let mut fields = Vec::new();
        loop {
            self.space()?;
            if self.eat(")") {
                return Ok(fields);
            }
            let at = self.at;
            self.eat("r#");
            let name = self.take_while(is_word);
            if name.is_empty() {
                return Err(self.unclosed(opened, '(', "the name of a field or ')'"));
            }
            self.token(":", "':' after the name of a field")?;
            let value = self.value(depth + 1)?;
            fields.push(Field {
                name: name.to_owned(),
                at,
                value,
            });
            if self.is_last(opened, '(', ')')? {
                return Ok(fields);
            }
        }
    }

    fn items(
        &mut self,
        opened: usize,
        open: char,
        close: char,
        depth: usize,
    ) -> Result<Vec<Node>, Fault> {
        let mut items = Vec::new();
        loop {
            self.space()?;
            let may_close = items.is_empty() || self.syntax == Syntax::Ron;
            if may_close && self.peek() == Some(close) {
                self.at += 1;
                return Ok(items);
            }
            if self.peek().is_none() {
                return Err(self.unclosed(opened, open, &format!("a value or '{close}'")));
            }
            items.push(self.value(depth + 1)?);
            if self.is_last(opened, open, close)? {
                return Ok(items);
            }
        }
    }

    fn map(&mut self, opened: usize, depth: usize) -> Result<Value, Fault> {
        self.at += 1;
        let mut entries = Vec::new();
        loop {
            self.space()?;
            if self.eat("}") {
                return Ok(Value::Map(entries));
            }
            if self.peek().is_none() {
                return Err(self.unclosed(opened, '{', "a key or '}'"));
            }
            let key = self.value(depth + 1)?;
            self.token(":", "':' after a key")?;
            let value = self.value(depth + 1)?;
            entries.push((key, value));
            if self.is_last(opened, '{', '}')? {
                return Ok(Value::Map(entries));
            }
        }
    }

    fn object(&mut self, opened: usize, depth: usize) -> Result<Value, Fault> {
        self.at += 1;
        let mut fields = Vec::new();
        loop {
            self.space()?;
            if fields.is_empty() && self.eat("}") {
                return Ok(Value::Object(fields));
            }
            let at = self.at;
            if self.peek() != Some('"') {
                return Err(self.unclosed(opened, '{', "the name of a field in double quotes"));
            }
            let name = self.string()?;
            self.token(":", "':' after the name of a field")?;
            let value = self.value(depth + 1)?;
            fields.push(Field { name, at, value });
            if self.is_last(opened, '{', '}')? {
                return Ok(Value::Object(fields));
            }
        }
    }

    /// After an item: tells whether the bracket closes, or passes the comma.
    fn is_last(&mut self, opened: usize, open: char, close: char) -> Result<bool, Fault> {
        self.space()?;
        match self.peek() {
            Some(',') => {
                self.at += 1;
                Ok(false)
            }
            Some(c) if c == close => {
                self.at += 1;
                Ok(true)
            }
            _ => Err(self.unclosed(opened, open, &format!("',' or '{close}'"))),
        }
    }

    fn unclosed(&self, opened: usize, open: char, expected: &str) -> Fault {
        let (line, column) = position(self.text, opened);
        self.expected(expected).with_hint(Some(format!(
            "the '{open}' that started on line {line}, column {column} is still open"
        )))
    }
}

fn is_word(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}
