//! Tags and markings: whether an item may be used at all, whatever it could bear.

use super::alike::Alike;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::error::{Error, Place};
use crate::gear::{Known, Rated, Tag};
use crate::rules::{Answer, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;

/// Two statements of one rating may differ by this fraction: 12 t is also marked 26 400 lb, rounded. Common practice, no
/// source.
const SAME_MARKING: f64 = 0.005;

/// Checks every sling and fitting of every leg.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, slings: &Alike, findings: &mut Vec<Finding>) -> Result<(), Error> {
    let root = Place::root();
    let of_slings = slings.ask(rules, Question::Marking);
    let fittings = Alike::fittings(lift);
    let of_fittings = fittings.ask(rules, Question::Marking);
    for leg in lift.legs() {
        for (index, sling) in leg.slings() {
            let item = Marked {
                name: &sling.name,
                place: root.child("slings").child(index),
                identity: &sling.identity,
                tag: &sling.tag,
                wll: &sling.strength.wll,
            };
            findings.push(item.compare(of_slings.of(index))?);
        }
        for (index, fitting) in leg.fittings() {
            let item = Marked {
                name: &fitting.name,
                place: root.child("fittings").child(index),
                identity: &fitting.identity,
                tag: &fitting.tag,
                wll: &fitting.rating.wll,
            };
            findings.push(item.compare(of_fittings.of(index))?);
        }
    }
    Ok(())
}

struct Marked<'a> {
    name: &'a Text,
    place: Place,
    identity: &'a Known<Text>,
    tag: &'a Known<Tag>,
    wll: &'a Known<Rated>,
}

impl Marked<'_> {
    fn compare(self, answer: Option<&Answer>) -> Result<Finding, Error> {
        let source = match answer {
            Some(Answer::Speaks(ruled)) => ruled.source.clone(),
            Some(Answer::Refused(error)) => return Err(error.clone()),
            // An item without a legible tag is not used, whether or not this rule set says so.
            _ => {
                Source::new("an item is identified before it is used", "", "", crate::source::Standing::CommonPractice)
            }
        };
        let lacking = |what: &str, key: &str, add: &str| {
            let what = format!("{what} of \"{}\"", self.name);
            let place = key.split('/').fold(self.place.clone(), |place, key| place.child(key));
            let missing = MissingInput { what, add: add.to_owned(), place };
            Finding::lacking(Code::Identity, self.name, missing)
        };
        let verdict =
            |verdict, text: Text| Finding::new(Code::Identity, verdict, self.name, self.place.child("tag"), text);
        let Known::Value(tag) = self.tag else {
            return Ok(lacking("the tag as seen", "tag", "\"tag\": { \"legible\": …, \"wll\": \"… t\" }").after(source));
        };
        if !tag.legible {
            let text = "its tag cannot be read: it is not usable, whatever the calculation says";
            return Ok(verdict(Verdict::Fail, text.into()).after(source));
        }
        if self.identity.is_unknown() {
            return Ok(lacking("the identification number", "identity", "\"identity\": \"…\"").after(source));
        }
        let (Known::Value(shown), Known::Value(used)) = (&tag.wll, self.wll) else {
            if self.wll.is_unknown() {
                return Ok(verdict(Verdict::Pass, "its tag can be read".into()).after(source));
            }
            return Ok(lacking("the working load limit on the tag", "tag/wll", "\"wll\": \"… t\"").after(source));
        };
        if (shown.force().si() / used.force().si() - 1.0).abs() <= SAME_MARKING {
            let text = Text::written(format_args!("its tag can be read and shows {shown}"));
            return Ok(verdict(Verdict::Pass, text).after(source));
        }
        let text =
            format!("its tag shows {shown}, the calculation uses {used}: which of them is right must be settled first");
        Ok(verdict(Verdict::CannotConclude, text.into()).after(source))
    }
}
