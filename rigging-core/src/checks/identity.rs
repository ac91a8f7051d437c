//! Tags and markings: whether an item may be used at all, whatever it could bear.

use super::alike::{Alike, Made};
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::error::{Error, Place};
use crate::gear::{Fitting, Known, Rated, Tag, TestCertificate};
use crate::rules::{Answer, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;

/// Two statements of one rating may differ by this fraction: 12 t is also marked 26 400 lb, rounded. Common practice, no
/// source.
const SAME_MARKING: f64 = 0.005;

/// Checks every sling and fitting of every leg.
pub(super) fn compare(
    lift: &Lift,
    rules: &RuleSet,
    slings: &Alike,
    fittings: &Alike,
    findings: &mut Vec<Finding>,
) -> Result<(), Error> {
    let root = Place::root();
    let mut shown = Made::none();
    let of_slings = slings.ask(rules, Question::Marking);
    let of_fittings = fittings.ask(rules, Question::Marking);
    for leg in lift.legs() {
        for (index, sling) in leg.slings() {
            let item = Marked {
                name: &sling.name,
                place: root.child("slings").child(index),
                identity: &sling.identity,
                tag: &sling.tag,
                certificate: &sling.test_certificate,
                wll: &sling.strength.wll,
                breaking_load: &sling.strength.breaking_load,
            };
            findings.push(item.compare(of_slings.of(index), &mut shown)?);
        }
        for (index, fitting) in leg.fittings() {
            findings.push(self::fitting(index, fitting, of_fittings.of(index), &mut shown)?);
        }
    }
    for (_, index, fitting) in lift.collectors() {
        findings.push(self::fitting(index, fitting, of_fittings.of(index), &mut shown)?);
    }
    Ok(())
}

/// What is said of a tag that shows a rating.
type Shown<'a> = Made<&'a Rated, Text>;

fn fitting<'a>(
    index: usize,
    fitting: &'a Fitting,
    answer: Option<&Answer>,
    shown: &mut Shown<'a>,
) -> Result<Finding, Error> {
    let item = Marked {
        name: &fitting.name,
        place: Place::root().child("fittings").child(index),
        identity: &fitting.identity,
        tag: &fitting.tag,
        certificate: &fitting.test_certificate,
        wll: &fitting.rating.wll,
        breaking_load: &fitting.rating.breaking_load,
    };
    item.compare(answer, shown)
}

struct Marked<'a> {
    name: &'a Text,
    place: Place,
    identity: &'a Known<Text>,
    tag: &'a Known<Tag>,
    certificate: &'a Known<TestCertificate>,
    wll: &'a Known<Rated>,
    breaking_load: &'a Known<Rated>,
}

/// Whether two statements of one value agree as far as markings are rounded.
fn agree(one: &Rated, other: &Rated) -> bool {
    (one.force().si() / other.force().si() - 1.0).abs() <= SAME_MARKING
}

impl<'a> Marked<'a> {
    fn compare(self, answer: Option<&Answer>, said: &mut Shown<'a>) -> Result<Finding, Error> {
        let source = match answer {
            Some(Answer::Speaks(ruled)) => ruled.source.clone(),
            Some(Answer::Refused(error)) => return Err(error.clone()),
            // An item without a legible tag is not used, whether or not this rule set says so.
            _ => {
                Source::new("an item is identified before it is used", "", "", crate::source::Standing::CommonPractice)
            }
        };
        let lacking = |what: &str, key: &str, add: &'static str| {
            let what = format!("{what} of \"{}\"", self.name);
            let place = key.split('/').fold(self.place.clone(), |place, key| place.child(key));
            let missing = MissingInput::new(what, add, place);
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
        let Known::Value(number) = self.identity else {
            return Ok(lacking("the identification number", "identity", "\"identity\": \"…\"").after(source));
        };
        if let Some(why) = self.certificate.value().and_then(|certificate| self.disagrees(certificate, number, tag)) {
            let place = self.place.child("test_certificate");
            let finding = Finding::new(Code::Identity, Verdict::CannotConclude, self.name, place, why);
            return Ok(finding.after(source));
        }
        let (Known::Value(shown), Known::Value(used)) = (&tag.wll, self.wll) else {
            if self.wll.is_unknown() {
                return Ok(verdict(Verdict::Pass, "its tag can be read".into()).after(source));
            }
            return Ok(lacking("the working load limit on the tag", "tag/wll", "\"wll\": \"… t\"").after(source));
        };
        if agree(shown, used) {
            let text = said.once(shown, || Text::written(format_args!("its tag can be read and shows {shown}")));
            return Ok(verdict(Verdict::Pass, text.clone()).after(source));
        }
        let text =
            format!("its tag shows {shown}, the calculation uses {used}: which of them is right must be settled first");
        Ok(verdict(Verdict::CannotConclude, text.into()).after(source))
    }

    /// What the certificate says otherwise than the item, its tag or the calculation.
    fn disagrees(&self, certificate: &TestCertificate, number: &str, tag: &Tag) -> Option<String> {
        let paper = &certificate.number;
        if let Some(other) = certificate.identity.value().filter(|other| *other != number) {
            return Some(format!(
                "certificate {paper} is for \"{other}\", the item is \"{number}\": it is not the paper of this item"
            ));
        }
        let pairs = [
            ("working load limit", &certificate.wll, &tag.wll, "the tag shows"),
            ("working load limit", &certificate.wll, self.wll, "the calculation uses"),
            ("breaking load", &certificate.breaking_load, self.breaking_load, "the calculation uses"),
        ];
        pairs.into_iter().find_map(|(what, stated, other, who)| {
            let (stated, other) = (stated.value()?, other.value()?);
            (!agree(stated, other)).then(|| {
                format!("certificate {paper} states a {what} of {stated}, {who} {other}: which of them is right must be settled first")
            })
        })
    }
}
