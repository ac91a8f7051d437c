//! The invariants of the kit: kept by what the library makes, broken by what is not so, silent where nothing follows, and
//! within tolerances that mean something.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod broken;
mod documents;

use rigging_core::arrangement::Lift;
use rigging_core::kit::Outline;
use rigging_core::kit::invariants::{self, Answer, Broken, Difference, Invariant, Kept, Violation};
use rigging_core::system::System;

/// The demo lifts, by name and text.
const DEMOS: [(&str, &str); 8] = [
    ("generator-skid", include_str!("../../../rigging-core/examples/lifts/generator-skid.json")),
    ("round edge", include_str!("../../../rigging-core/examples/lifts/generator-skid-round-edge.json")),
    ("stiff slings", include_str!("../../../rigging-core/examples/lifts/generator-skid-stiff-slings.json")),
    ("frame", include_str!("../../../rigging-core/examples/lifts/frame-tall-item.json")),
    ("panel", include_str!("../../../rigging-core/examples/lifts/panel-spreader.json")),
    ("pump", include_str!("../../../rigging-core/examples/lifts/pump-doubled-sling.json")),
    ("vessel", include_str!("../../../rigging-core/examples/lifts/vessel-two-cranes.json")),
    ("deck", include_str!("../../../rigging-core/examples/lifts/deck-equalizing-sheave.json")),
];

fn violation(answer: Answer) -> Violation {
    match answer {
        Err(Broken::Violation(violation)) => violation,
        other => panic!("{other:?}"),
    }
}
