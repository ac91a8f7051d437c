//! Leg factors by number of legs and bands of the angle, as standards print them.

use super::{LegSet, SharingRule, Words};
use crate::error::{Error, Place};
use crate::source::{Source, Standing};
use crate::text::Text;
use serde::Deserialize;

/// The tables that come with the library.
const FILE: &str = include_str!("../../rules/sharing/leg-factors.toml");
/// Format of the file.
const FORMAT: u64 = 1;
const NOT_SEEN: &str = "not seen";

/// A table of leg factors. The weight over the factor is what the rated value of every leg, hung plumb, must reach: the force
/// of a leg by this rule is that, and the angle is inside the factor.
///
/// ```
/// use rigging_core::sharing::{LegFactors, SharingRule};
/// let tables = LegFactors::built_in()?;
/// assert_eq!(tables[0].words().name.as_str(), "leg factors of DGUV Information 209-021");
/// assert_eq!(tables[0].factor(4, 30.0_f64.to_radians())?, 2.1);
/// // Where a cell was not seen there is no number.
/// assert_eq!(tables[1].factor(4, 30.0_f64.to_radians()).unwrap_err().code(), "missing");
/// assert_eq!(tables[0].factor(4, 61.0_f64.to_radians()).unwrap_err().code(), "out_of_domain");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct LegFactors {
    /// Name.
    pub name: Text,
    /// Where it is printed.
    pub source: Source,
    /// Upper end of each band of the angle of the flattest leg from vertical, rad; a band holds its upper end, the first one
    /// begins at zero.
    pub upper_ends: Vec<f64>,
    /// The rows.
    pub rows: Vec<LegFactorsRow>,
}

/// The factors of some numbers of legs.
#[derive(Debug, Clone, PartialEq)]
pub struct LegFactorsRow {
    /// Numbers of legs.
    pub legs: Vec<usize>,
    /// One a band; none for a cell that was not seen.
    pub factors: Vec<Option<f64>>,
}

impl LegFactors {
    /// The tables that come with the library.
    ///
    /// # Errors
    /// None; the data is tested.
    pub fn built_in() -> Result<Vec<Self>, Error> {
        Self::from_toml(FILE)
    }

    /// Reads tables from a TOML text: `format = 1`, and for every `[[table]]` its `name`, `document`, `clause`, `edition`,
    /// `standing`, the upper ends of the bands `to_deg_from_vertical`, and rows `{ legs, factors }` with one factor a band or
    /// "not seen".
    ///
    /// # Errors
    /// [`Error::Malformed`] for a text of another form, [`Error::NewerFormat`], [`Error::OutOfDomain`] for a band or a factor out of
    /// range, [`Error::Inconsistent`] for a row that has not one factor a band.
    pub fn from_toml(text: &str) -> Result<Vec<Self>, Error> {
        let file: File = toml::from_str(text).map_err(|error| Error::malformed(error.to_string(), Place::root()))?;
        if file.format > FORMAT {
            let place = Place::root().child("format");
            return Err(Error::NewerFormat { found: file.format, supported: FORMAT, place });
        }
        let table = |(index, table): (usize, Table)| table.checked(&Place::root().child("table").child(index));
        file.table.into_iter().enumerate().map(table).collect()
    }

    /// The factor for so many legs, the flattest of which stands so far from vertical (rad).
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a number of legs or an angle that the table does not print; [`Error::Missing`] for a cell that was
    /// not seen.
    pub fn factor(&self, legs: usize, from_vertical_rad: f64) -> Result<f64, Error> {
        let place = Place::root().child("legs");
        let Some(row) = self.rows.iter().find(|row| row.legs.contains(&legs)) else {
            let printed: Vec<String> = self.rows.iter().flat_map(|row| &row.legs).map(ToString::to_string).collect();
            return Err(Error::out_of_domain("number of legs", legs as f64, "", printed.join(" or "), place));
        };
        let band = match from_vertical_rad >= 0.0 {
            true => self.upper_ends.iter().position(|end| from_vertical_rad <= *end),
            false => None,
        };
        let Some(band) = band else {
            let most = self.upper_ends.last().copied().unwrap_or(0.0).to_degrees();
            let (found, allowed) = (from_vertical_rad.to_degrees(), format!("0 to {most} deg"));
            return Err(Error::out_of_domain("angle of the flattest leg from vertical", found, "deg", allowed, place));
        };
        row.factors.get(band).copied().flatten().ok_or_else(|| {
            let what = format!("the factor of {} for {legs} legs in this band of the angle", self.name);
            Error::missing(what, "a table of your own with its source", place)
        })
    }
}

impl SharingRule for LegFactors {
    fn words(&self) -> Words {
        let most = self.upper_ends.last().copied().unwrap_or(0.0).to_degrees().round();
        Words {
            name: self.name.clone(),
            domain: format!("numbers of legs that are printed, all within {most}° of vertical; written for even loads")
                .into(),
            source: self.source.clone(),
            conservative: true,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let legs = set.legs().len();
        let factor = self.factor(legs, set.flattest()?)?;
        Ok(vec![set.weight() / factor; legs])
    }
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    format: u64,
    table: Vec<Table>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Table {
    name: String,
    document: String,
    #[serde(default)]
    clause: String,
    #[serde(default)]
    edition: String,
    standing: Standing,
    to_deg_from_vertical: Vec<f64>,
    row: Vec<Row>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Row {
    legs: Vec<usize>,
    factors: Vec<Cell>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Cell {
    Factor(f64),
    Word(String),
}

impl Table {
    fn checked(self, place: &Place) -> Result<LegFactors, Error> {
        let ends = &self.to_deg_from_vertical;
        let from = std::iter::once(&0.0).chain(ends);
        for (index, (end, before)) in ends.iter().zip(from).enumerate() {
            if !(*end > *before && *end < 90.0) {
                let place = place.child("to_deg_from_vertical").child(index);
                let allowed = "rising, above 0 and below 90";
                return Err(Error::out_of_domain("upper end of a band", *end, "deg", allowed, place));
            }
        }
        let mut rows = Vec::with_capacity(self.row.len());
        for (index, row) in self.row.into_iter().enumerate() {
            let place = place.child("row").child(index).child("factors");
            if row.factors.len() != ends.len() {
                return Err(Error::inconsistent("a row of leg factors has not one a band", place));
            }
            let factors = row.factors.into_iter().enumerate();
            let factors = factors.map(|(band, cell)| cell.read(|| place.child(band))).collect::<Result<_, _>>()?;
            rows.push(LegFactorsRow { legs: row.legs, factors });
        }
        Ok(LegFactors {
            name: self.name.into(),
            source: Source::new(self.document, self.clause, self.edition, self.standing),
            upper_ends: ends.iter().map(|end| end.to_radians()).collect(),
            rows,
        })
    }
}

impl Cell {
    fn read(self, place: impl Fn() -> Place) -> Result<Option<f64>, Error> {
        match self {
            Self::Factor(factor) if factor > 0.0 && factor.is_finite() => Ok(Some(factor)),
            Self::Factor(factor) => Err(Error::out_of_domain("leg factor", factor, "", "positive and finite", place())),
            Self::Word(word) if word == NOT_SEEN => Ok(None),
            Self::Word(word) => {
                Err(Error::malformed(format!("\"{word}\" is no factor; \"{NOT_SEEN}\" may stand"), place()))
            }
        }
    }
}
