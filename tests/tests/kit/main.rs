//! The kit for who writes sharing rules: outlines, domains, and the search for lifts that a rule forgets.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "../support/patching.rs"]
mod patching;

mod refuted;

use approx::assert_abs_diff_eq;
use rigging_core::arrangement::Lift;
use rigging_core::demand::ElasticAtVertices;
use rigging_core::equilibrium::State;
use rigging_core::equilibrium::network::{self, Network};
use rigging_core::error::Error;
use rigging_core::kit::{Case, Domain, Free, Number, Outline, Search, Searched, refute, refute_while};
use rigging_core::rules::RuleSet;
use rigging_core::sharing::{
    Determinate, Elastic, EqualShare, LegSet, LegsCounted, PlanLevers, SharingRule, Words, share,
};
use rigging_core::source::{Source, Standing};

fn skid(name: &str) -> Lift {
    Lift::from_json(&patching::demo(name).to_string()).unwrap()
}

/// A rule whose answer is given.
#[derive(Debug)]
struct Given(Vec<f64>);

impl SharingRule for Given {
    fn words(&self) -> Words {
        let source = Source::new("note of the yard", "", "", Standing::Stated);
        Words { name: "given".into(), domain: "any".into(), source, conservative: true }
    }

    fn forces(&self, _: &LegSet) -> Result<Vec<f64>, Error> {
        Ok(self.0.clone())
    }
}
