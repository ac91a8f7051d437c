//! The sources of a rule file, and the citations of them.

use super::super::tree::{Keys, Node};
use crate::error::Error;
use crate::source::{Citation, Source, Standing};
use crate::text::Text;

/// A source by the id that rules name it by.
pub(in crate::rules) struct Cited {
    pub(super) id: Text,
    pub(in crate::rules) source: Source,
    pub(in crate::rules) note: Option<Text>,
}

const STANDINGS: &[Standing] = &[
    Standing::Document,
    Standing::Secondary,
    Standing::Derived,
    Standing::Memory,
    Standing::CommonPractice,
    Standing::StatedInRuleSet,
];

const fn standing_key(standing: Standing) -> &'static str {
    match standing {
        Standing::Document => "document",
        Standing::Secondary => "secondary",
        Standing::Derived => "derived",
        Standing::Memory => "memory",
        Standing::CommonPractice => "common practice",
        // A rule file states nothing in a lift document, nor with a sharing rule.
        Standing::Stated | Standing::StatedInRuleSet | Standing::StatedWithRule => "stated",
    }
}

/// What to write for a standing that is missing: each claims something, and none is proposed before the others.
const STANDING_TO_WRITE: &str = "standing = \"document\" if the document itself was read, \"secondary\" if a page or document \
    that repeats it was, \"derived\" if it follows from one by your own arithmetic, \"memory\" if nothing was read, \"common \
    practice\" if it is a rule of thumb without a source, \"stated\" if it is of your own making";

/// The words for a standing.
#[cfg(feature = "schema")]
pub(in crate::rules) fn standing_names() -> impl Iterator<Item = &'static str> {
    STANDINGS.iter().map(|standing| standing_key(*standing))
}

pub(super) fn standing(node: &Node<'_>) -> Result<Standing, Error> {
    let text = node.text()?;
    STANDINGS.iter().copied().find(|standing| standing_key(*standing) == text).ok_or_else(|| {
        Error::unknown_name(text, "standing", STANDINGS.iter().map(|s| standing_key(*s)), node.place.clone())
    })
}

/// The sources of a rule set, by id; those that cannot be read are complained of.
pub(in crate::rules) fn sources(list: &Node<'_>, complaints: &mut Vec<Error>) -> Vec<Cited> {
    let items = list.some_items().map_err(|error| complaints.push(error)).unwrap_or_default();
    let mut cited: Vec<Cited> = Vec::new();
    for item in items {
        match source(&item, &cited) {
            Ok(source) => cited.push(source),
            Err(error) => {
                complaints.push(error);
                cited.extend(read_as_far_as_it_goes(&item, &cited));
            }
        }
    }
    cited
}

/// What stands for a source that cannot be read, so that complaints about the rules that cite it are still found: a file with
/// a complaint never becomes a set.
fn read_as_far_as_it_goes(item: &Node<'_>, earlier: &[Cited]) -> Option<Cited> {
    let id: Text = item.value.get("id")?.as_str()?.to_owned().into();
    let new = earlier.iter().all(|other| other.id != id);
    new.then(|| Cited { source: Source::stated(id.clone()), id, note: None })
}

fn source(item: &Node<'_>, earlier: &[Cited]) -> Result<Cited, Error> {
    let keys = item.keys(&["id", "document", "edition", "standing", "note"])?;
    let id = keys.text("id", "id = \"…\"")?;
    if earlier.iter().any(|other| other.id == id) {
        return Err(Error::DuplicateName { name: id.into(), place: keys.place.child("id") });
    }
    let source = Source::new(
        keys.text("document", "document = \"designation or title\"")?,
        "",
        keys.optional_text("edition")?.unwrap_or_default(),
        standing(&keys.required("standing", STANDING_TO_WRITE)?)?,
    );
    Ok(Cited { id, source, note: keys.optional_text("note")? })
}

/// The source of a rule, with its clause.
pub(super) fn cite(keys: &Keys<'_>, cited: &[Cited]) -> Result<Source, Error> {
    let id = keys.required("source", "source = \"id of a source\"")?;
    let name = id.text()?;
    let found = cited.iter().find(|other| other.id == name).ok_or_else(|| {
        Error::unknown_name(name, "source", cited.iter().map(|other| other.id.as_str()), id.place.clone())
    })?;
    let clause = keys.text("clause", "clause = \"clause, table or page\"")?;
    let standing = keys.optional("standing").map_or(Ok(found.source.standing), |node| standing(&node))?;
    Ok(Citation { clause, standing, ..(*found.source).clone() }.into())
}
