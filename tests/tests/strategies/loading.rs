//! Everything that is drawn can be read; what is broken is told.

use super::*;
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Code, Verdict};
use rigging_core::equilibrium::{State, solve};
use rigging_core::kit::{Outline, Sketch, strategies};
use rigging_core::rules::{Facts, Question, RuleSet};

const EACH: u32 = 2_000;

/// How the lifts of a family hang.
#[derive(Debug, Default, PartialEq)]
struct Hung {
    stable: usize,
    slack: usize,
    neutral: usize,
    unstable: usize,
    lost: usize,
}

impl Hung {
    fn add(&mut self, lift: &Lift) {
        let certificate = lift.solve().unwrap();
        *match certificate.state {
            State::Stable => &mut self.stable,
            State::Neutral => &mut self.neutral,
            State::Unstable => &mut self.unstable,
            State::Lost => &mut self.lost,
        } += 1;
        let stable = certificate.state == State::Stable;
        self.slack += usize::from(stable && certificate.members.iter().any(|member| member.slack));
    }

    fn share(&self) -> f64 {
        let all = self.stable + self.neutral + self.unstable + self.lost;
        assert_eq!(all, EACH as usize);
        self.stable as f64 / all as f64
    }
}

fn outlines(name: &str, strategy: &impl Strategy<Value = Outline>) -> Hung {
    let mut hung = Hung::default();
    for outline in drawn(strategy, EACH) {
        let lift = Lift::from_json(&outline.document(&[])).unwrap();
        // What is read back is what was drawn, and the system is that of the document.
        assert_eq!(Outline::of(&lift).unwrap(), outline);
        assert_eq!(outline.leg_set().unwrap().legs().len(), outline.points.len());
        let direct = solve(&outline.system().unwrap()).unwrap();
        assert_eq!(direct.members, lift.solve().unwrap().members);
        hung.add(&lift);
    }
    println!("{name}: {EACH} ran, 0 skipped: {hung:?}");
    hung
}

fn sketches(name: &str, strategy: &impl Strategy<Value = Sketch>) -> Hung {
    let mut hung = Hung::default();
    for sketch in drawn(strategy, EACH) {
        hung.add(&Lift::from_json(&sketch.document()).unwrap());
    }
    println!("{name}: {EACH} ran, 0 skipped: {hung:?}");
    hung
}

#[test]
fn every_outline_is_a_lift_and_most_of_them_hang() {
    assert!(outlines("ring", &strategies::ring()).share() > 0.9);
    assert!(outlines("skid", &strategies::skid()).share() > 0.9);
    assert!(outlines("near line", &strategies::near_line()).share() > 0.8);
    let tall = outlines("tall", &strategies::tall()).share();
    assert!((0.3..0.95).contains(&tall), "some stand, some topple: {tall}");
    let stiff = outlines("slack-prone", &strategies::slack_prone());
    assert!(stiff.share() > 0.9 && stiff.slack as f64 > 0.5 * stiff.stable as f64);
    assert!(outlines("any", &strategies::outlines()).share() > 0.8);
}

#[test]
fn every_sketch_is_a_lift_and_most_of_them_hang() {
    assert!(sketches("tandem", &strategies::tandem()).share() > 0.8);
    assert!(sketches("tier", &strategies::tier()).share() > 0.8);
}

#[test]
fn rated_lifts_pass_and_fail() {
    let rules = RuleSet::built_in("us-general").unwrap();
    let (mut pass, mut fail) = (0, 0);
    for geared in drawn(&strategies::geared(), 500) {
        let assessment = Lift::from_json(&geared.document()).unwrap().assess(&rules).unwrap();
        let strength = assessment.findings.iter().filter(|finding| finding.code == Code::SlingStrength);
        for finding in strength.filter(|finding| finding.utilization.is_some()) {
            pass += usize::from(finding.verdict == Verdict::Pass);
            fail += usize::from(finding.verdict == Verdict::Fail);
        }
    }
    println!("500 lifts ran: {pass} slings strong enough, {fail} not");
    assert!(pass > 200 && fail > 200, "{pass} {fail}");
}

#[test]
fn every_rule_set_loads_and_answers() {
    let mut factors = 0;
    for text in drawn(&strategies::rule_sets(), EACH) {
        let rules = RuleSet::from_toml(&text).unwrap_or_else(|error| panic!("{error}\n{text}"));
        assert_eq!(rules.name().as_str(), "invented-yard");
        let question = Question::ALL.iter().find(|question| question.name() == "dynamic factor").unwrap();
        factors += usize::from(text.contains("dynamic factor"));
        let _ = rules.ask(*question, &Facts::default());
    }
    println!("{EACH} rule sets ran, 0 skipped; {factors} with a dynamic factor");
    assert!((800..1200).contains(&factors), "{factors}");
}

#[test]
fn every_broken_document_is_refused_where_it_is_broken() {
    let mut seen = std::collections::BTreeMap::new();
    for invalid in drawn(&strategies::invalid(), EACH) {
        let error =
            Lift::from_json(&invalid.text).err().unwrap_or_else(|| panic!("{}:\n{}", invalid.what, invalid.text));
        assert_eq!(
            (error.code(), error.place().as_str()),
            (invalid.code, invalid.place.as_str()),
            "{}: {error}",
            invalid.what
        );
        *seen.entry(invalid.what).or_insert(0) += 1;
    }
    println!("{EACH} broken documents refused: {seen:?}");
    assert_eq!(seen.len(), 17);
}
