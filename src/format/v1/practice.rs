//! Figures of practice as a file spells them: only those that differ from the usual ones.

use std::borrow::Cow;
use std::collections::BTreeMap;

use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde::{Deserialize, Serialize};

use crate::format::nearest::did_you_mean;
use crate::model;

/// Figures of practice by name.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(try_from = "BTreeMap<String, f64>", into = "BTreeMap<String, f64>")]
pub struct Practice(pub model::Practice);

impl Practice {
    /// Tells whether nothing differs from the usual.
    pub(in crate::format) fn is_usual(&self) -> bool {
        model::Practice::SETTINGS
            .iter()
            .all(|s| s.is_usual(&self.0))
    }
}

impl TryFrom<BTreeMap<String, f64>> for Practice {
    type Error = String;

    fn try_from(figures: BTreeMap<String, f64>) -> Result<Self, String> {
        let mut practice = model::Practice::default();
        for (key, value) in figures {
            let Some(setting) = model::Practice::setting(&key) else {
                let all = model::Practice::SETTINGS.iter().map(|s| s.key);
                let hint = did_you_mean(&key, all).map_or_else(String::new, |h| format!("; {h}"));
                return Err(format!("there is no figure of practice {key:?}{hint}"));
            };
            if !(setting.low..=setting.high).contains(&value) {
                return Err(format!(
                    "found {value} for {key}, expected {} to {}",
                    setting.low, setting.high
                ));
            }
            setting.put(&mut practice, value);
        }
        Ok(Self(practice))
    }
}

impl From<Practice> for BTreeMap<String, f64> {
    fn from(Practice(practice): Practice) -> Self {
        model::Practice::SETTINGS
            .iter()
            .filter(|s| !s.is_usual(&practice))
            .map(|s| (s.key.to_owned(), s.of(&practice)))
            .collect()
    }
}

impl JsonSchema for Practice {
    fn schema_name() -> Cow<'static, str> {
        "Practice".into()
    }

    fn json_schema(_generator: &mut SchemaGenerator) -> Schema {
        let figures: serde_json::Map<String, serde_json::Value> = model::Practice::SETTINGS
            .iter()
            .map(|s| {
                let unit = if s.unit.is_empty() { "" } else { ", in " };
                let figure = serde_json::json!({
                    "type": "number",
                    "minimum": s.low,
                    "maximum": s.high,
                    "default": s.usual,
                    "description": format!("{}{unit}{}.", s.label, s.unit),
                });
                (s.key.to_owned(), figure)
            })
            .collect();
        json_schema!({
            "description": "Figures of practice that differ from the usual ones.",
            "type": "object",
            "properties": figures,
            "additionalProperties": false,
        })
    }
}
