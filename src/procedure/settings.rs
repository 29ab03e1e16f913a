//! The project's own numbers: each with its value, unit, use and owner; none of them is law.
//!
//! They stand in `templates/settings.toml`. A user's own file holds all of them and may not go
//! beyond a published limit where one is named.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::procedure::ProcedureError;
use crate::procedure::join::toml_error;
use crate::units::Decimal;

/// One number that this project chose.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Setting {
    /// Name, with the unit.
    pub name: String,
    /// Value, with its digits.
    pub value: Decimal,
    /// Unit in words or signs.
    pub unit: String,
    /// What it decides.
    #[serde(rename = "for")]
    pub used_for: String,
    /// Who answers for the value.
    pub owner: String,
    /// Where a figure comes from that is published; empty for a choice of this project.
    #[serde(default)]
    pub source: String,
    /// The published limit that no owner may go beyond.
    #[serde(default)]
    pub not_beyond: Option<NotBeyond>,
}

/// A published limit on a setting.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct NotBeyond {
    /// The value must not be above.
    #[serde(default)]
    pub at_most: Option<Decimal>,
    /// The value must not be below.
    #[serde(default)]
    pub at_least: Option<Decimal>,
    /// Where it is published, and how that is known.
    pub source: String,
}

/// All settings by name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settings(BTreeMap<String, Setting>);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct SettingsFile {
    setting: Vec<Setting>,
}

/// The file that comes with the program.
const SHIPPED: &str = include_str!("../../templates/settings.toml");
/// The same in the form that is read, since every command that opens a job reads it; a test makes it
/// anew and compares.
const COMPILED: &str = include_str!("../../templates/compiled-settings.json");
/// The file for places that receive.
const FOR_SITES: &str = include_str!("../../templates/site-settings.toml");

impl Settings {
    /// The settings that come with the program.
    ///
    /// # Errors
    /// None that a test would not have found before.
    pub fn shipped() -> Result<Self, ProcedureError> {
        let file = serde_json::from_str(COMPILED).map_err(|error| ProcedureError::Form {
            line: error.line(),
            what: error.to_string(),
        })?;
        by_name(file)
    }

    /// The file that comes with the program, as a user may copy it.
    #[must_use]
    pub const fn shipped_text() -> &'static str {
        SHIPPED
    }

    /// A user's own settings: every name, none beyond a published limit. The limits are those
    /// that come with the program, whatever the file says.
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub fn read(text: &str) -> Result<Self, ProcedureError> {
        Self::read_like(text, Self::shipped()?)
    }

    /// Settings as they were kept with a job: the file as written, and the same with what the
    /// program asks for since. The limits hold for both.
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub fn read_kept(text: &str) -> Result<(Self, Self), ProcedureError> {
        let written = parse(text)?;
        let mut now = Self::shipped()?;
        for (name, setting) in &mut now.0 {
            let Some(mine) = written.0.get(name) else {
                continue;
            };
            if let Some(limit) = &setting.not_beyond {
                stays_within(mine, limit)?;
            }
            setting.value = mine.value;
            setting.owner.clone_from(&mine.owner);
        }
        Ok((written, now))
    }

    /// The settings of a place that receives, as they come with the program.
    ///
    /// # Errors
    /// None that a test would not have found before.
    pub fn shipped_for_sites() -> Result<Self, ProcedureError> {
        parse(FOR_SITES)
    }

    /// A site's own settings, under the same conditions as [`Self::read`].
    ///
    /// # Errors
    /// The first thing that is wrong with it.
    pub fn read_for_sites(text: &str) -> Result<Self, ProcedureError> {
        Self::read_like(text, Self::shipped_for_sites()?)
    }

    fn read_like(text: &str, shipped: Self) -> Result<Self, ProcedureError> {
        let mut own = parse(text)?;
        for name in own.0.keys() {
            if !shipped.0.contains_key(name) {
                return Err(ProcedureError::NoSuchSetting(name.clone()));
            }
        }
        for (name, setting) in shipped.0 {
            let Some(mine) = own.0.get_mut(&name) else {
                return Err(ProcedureError::SettingMissing(name));
            };
            if let Some(limit) = &setting.not_beyond {
                stays_within(mine, limit)?;
            }
            mine.not_beyond = setting.not_beyond;
            mine.unit = setting.unit;
            mine.used_for = setting.used_for;
        }
        Ok(own)
    }

    /// The setting of that name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<&Setting> {
        self.0.get(name)
    }

    /// All of them, by name.
    pub fn iter(&self) -> impl Iterator<Item = &Setting> {
        self.0.values()
    }
}

fn parse(text: &str) -> Result<Settings, ProcedureError> {
    by_name(toml::from_str(text).map_err(|error| toml_error(text, &error))?)
}

fn by_name(file: SettingsFile) -> Result<Settings, ProcedureError> {
    let mut settings = BTreeMap::new();
    for setting in file.setting {
        let name = setting.name.clone();
        if settings.insert(name.clone(), setting).is_some() {
            return Err(ProcedureError::RepeatedSetting(name));
        }
    }
    Ok(Settings(settings))
}

fn stays_within(setting: &Setting, limit: &NotBeyond) -> Result<(), ProcedureError> {
    let breach = match (limit.at_most, limit.at_least) {
        (Some(most), _) if setting.value > most => Some(("above", most)),
        (_, Some(least)) if setting.value < least => Some(("below", least)),
        _ => None,
    };
    match breach {
        None => Ok(()),
        Some((side, published)) => Err(ProcedureError::SettingBeyond {
            name: setting.name.clone(),
            value: setting.value.to_string(),
            side,
            limit: published.to_string(),
            source_of_limit: limit.source.clone(),
        }),
    }
}
