//! Leg factors by number of legs and bands of the angle, as standards print them.

use super::{LegSet, SharingRule, Words, ruled};
use crate::error::{Error, Place};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::{Source, Standing};
use crate::text::Text;
use serde::Deserialize;
use std::sync::OnceLock;

/// Upper ends of the bands of the built-in tables, degrees from vertical: both print 45 twice, and a band holds its upper end.
const ENDS: &[f64] = &[45.0, 60.0];
/// How far beyond the end of a band the next one is asked, degrees.
const BEYOND: f64 = 1e-6;
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
    /// The tables that come with the library: those of the documents `de-dguv-209-021` (chain) and `eu-en-1492-1` (webbing), read
    /// once.
    ///
    /// # Errors
    /// None; the data is tested.
    pub fn built_in() -> Result<Vec<Self>, Error> {
        static TABLES: OnceLock<Result<Vec<LegFactors>, Error>> = OnceLock::new();
        let read = |name: &'static str, document: &str, construction: &str| {
            let facts = Facts::new().word("construction", construction).word("hitch", "straight");
            Self::of_rules(name, &RuleSet::built_in(document)?, &facts, ENDS)
        };
        let both = || {
            Ok(vec![
                read("leg factors of DGUV Information 209-021", "de-dguv-209-021", "chain")?,
                read("leg factors of EN 1492-1", "eu-en-1492-1", "web")?,
            ])
        };
        TABLES.get_or_init(both).clone()
    }

    /// The factors that a rule set gives for one to four legs of one kind of sling, which `facts` state, with bands that end at
    /// these angles of the flattest leg from vertical, in degrees. What the rule set withholds is a cell that was not seen.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a band; [`Error::Missing`] for a fact that decides and is not stated; [`Error::Unsupported`] where
    /// the rule set gives no factors, or those of several clauses; [`Error::Inconsistent`] where a factor is not the same all
    /// over a band, which shows at its ends.
    ///
    /// ```
    /// use rigging_core::rules::{Facts, RuleSet};
    /// use rigging_core::sharing::LegFactors;
    /// let rules = RuleSet::built_in("de-dguv-209-021")?;
    /// let chain = Facts::new().word("construction", "chain").word("hitch", "straight");
    /// let table = LegFactors::of_rules("chain in the yard", &rules, &chain, &[45.0, 60.0])?;
    /// assert_eq!(table.factor(3, 50.0_f64.to_radians())?, 1.5);
    /// // One band over both is none of the document.
    /// let one = LegFactors::of_rules("chain in the yard", &rules, &chain, &[60.0]);
    /// assert_eq!(one.unwrap_err().code(), "inconsistent");
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn of_rules(
        name: impl Into<Text>,
        rules: &RuleSet,
        facts: &Facts,
        to_deg_from_vertical: &[f64],
    ) -> Result<Self, Error> {
        let place = Place::root();
        checked_ends(to_deg_from_vertical, &place)?;
        let mut clause: Option<Source> = None;
        let mut rows: Vec<LegFactorsRow> = Vec::new();
        for legs in 1..=4 {
            let facts = ruled::configuration(facts.clone(), legs);
            let mut from = 0.0;
            let mut cells = Vec::with_capacity(to_deg_from_vertical.len());
            for end in to_deg_from_vertical {
                let cell = asked(rules, &facts, *end)?;
                if asked(rules, &facts, from)? != cell {
                    let what = format!("the leg factor of {legs} legs is not the same from {from} to {end} deg");
                    return Err(Error::inconsistent(what, place.child("to_deg_from_vertical")));
                }
                cells.extend(cell);
                from = end + BEYOND;
            }
            if cells.is_empty() {
                continue;
            }
            if cells.len() < to_deg_from_vertical.len() {
                let what = format!("factors of {legs} legs, of which {} has some in some bands only", rules.name());
                return Err(Error::unsupported(what, place));
            }
            for Cited { source, .. } in &cells {
                if clause.get_or_insert_with(|| source.clone()) != source {
                    let what = format!("leg factors of several clauses of {} as one table", rules.name());
                    return Err(Error::unsupported(what, place));
                }
            }
            let factors: Vec<Option<f64>> = cells.into_iter().map(|cell| cell.factor).collect();
            match rows.iter_mut().find(|row| row.factors == factors) {
                Some(row) => row.legs.push(legs),
                None => rows.push(LegFactorsRow { legs: vec![legs], factors }),
            }
        }
        let Some(source) = clause else {
            return Err(Error::unsupported(format!("leg factors of {}, which gives none", rules.name()), place));
        };
        let upper_ends = to_deg_from_vertical.iter().map(|end| end.to_radians()).collect();
        Ok(Self { name: name.into(), source, upper_ends, rows })
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

/// A cell with the clause that it stands in; without a factor where it is withheld.
#[derive(PartialEq)]
struct Cited {
    factor: Option<f64>,
    source: Source,
}

/// What a rule set says of a leg factor at an angle from vertical, in degrees; none where it is silent.
fn asked(rules: &RuleSet, facts: &Facts, from_vertical_deg: f64) -> Result<Option<Cited>, Error> {
    let facts = facts.clone().number("angle from horizontal", 90.0 - from_vertical_deg, "deg");
    match rules.ask(Question::LegFactor, &facts) {
        Answer::Withheld { source, .. } => Ok(Some(Cited { factor: None, source })),
        Answer::Silent | Answer::DoesNotApply { .. } => Ok(None),
        answer => {
            let ruled = ruled::speaking(answer, "a leg factor", rules)?;
            let factor = ruled.term().map(|term| term.value);
            Ok(Some(Cited { factor, source: ruled.source }))
        }
    }
}

/// Rising, above zero and below a right angle.
fn checked_ends(ends: &[f64], place: &Place) -> Result<(), Error> {
    let from = std::iter::once(&0.0).chain(ends);
    for (index, (end, before)) in ends.iter().zip(from).enumerate() {
        if !(*end > *before && *end < 90.0) {
            let place = place.child("to_deg_from_vertical").child(index);
            let allowed = "rising, above 0 and below 90";
            return Err(Error::out_of_domain("upper end of a band", *end, "deg", allowed, place));
        }
    }
    Ok(())
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
        checked_ends(ends, place)?;
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
