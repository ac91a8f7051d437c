//! What every sling may bear as it hangs. Slings that are alike in all that their ratings rest on are rated once.

use super::by_itself::ByItself;
use crate::arrangement::{Hitch, LegView, Lift};
use crate::capacity::{self, Capacity, Factors, Hanging, Rests, Stated};
use crate::contact::Bend;
use crate::demand::Demand;
use crate::equilibrium::Certificate;
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::RuleSet;
use crate::text::Text;

/// The rating of an item: none where neither rule nor marking gives one.
pub(super) type Rated = Result<Option<Capacity>, Error>;

/// The ratings, in the order of the legs and of the slings in each.
pub(super) fn of(own: &ByItself<'_>, rules: &RuleSet, balance: Option<&Demand>) -> Vec<Rated> {
    let ByItself { lift, slings, bends, .. } = own;
    let mut bends = bends.iter();
    let (mut ratings, factors) = (Vec::with_capacity(bends.len()), Factors::default());
    let mut firsts: Vec<First<'_>> = Vec::new();
    for leg in lift.legs() {
        let place = leg.place();
        for ((index, sling), bends) in leg.slings().zip(bends.by_ref()) {
            let hung = Hung { sling, index, hitch: &leg.leg.hitch, bends };
            if let Some(known) = firsts.iter().find_map(|first| first.rates(&hung)) {
                ratings.push(known);
                continue;
            }
            let rated = slings.facts(index).and_then(|facts| {
                let hangs = hanging(lift, &leg, &place, bends, balance);
                let stated = Stated { sling, index, facts };
                let (rated, rests) = capacity::rate_among(stated, &hangs, rules, &factors);
                firsts.extend(First::of(hung, &rated, rests));
                rated
            });
            ratings.push(rated);
        }
    }
    ratings
}

/// A sling, and what is the same of others that hang alike.
struct Hung<'a> {
    sling: &'a Sling,
    index: usize,
    hitch: &'a Hitch,
    bends: &'a [Bend],
}

impl Hung<'_> {
    fn place(&self) -> Place {
        Place::root().child("slings").child(self.index)
    }

    fn bends_as(&self, other: &Self) -> bool {
        let alike = |one: &Bend, other: &Bend| (&one.diameter, one.between) == (&other.diameter, other.between);
        let pairs = self.bends.iter().zip(other.bends);
        self.bends.len() == other.bends.len() && pairs.into_iter().all(|(one, other)| alike(one, other))
    }

    /// Whether a reason names what is this sling's alone: such a one is told of each sling by its own name.
    fn is_named_in(&self, error: &Error) -> bool {
        let told = Text::written(format_args!("{error}"));
        let names = std::iter::once(&self.sling.name).chain(self.sling.strength.source.value());
        error.place().as_str().starts_with("/legs")
            || names.chain(self.bends.iter().map(|bend| &bend.round)).any(|name| told.contains(name.as_str()))
    }
}

/// A sling whose rating is that of others as well.
struct First<'a> {
    hung: Hung<'a>,
    rated: Rated,
    on_bends: bool,
}

impl<'a> First<'a> {
    /// None where no other sling can have its rating: legs hang at angles of their own.
    fn of(hung: Hung<'a>, rated: &Rated, rests: Rests) -> Option<Self> {
        let own = rests.on_angle || rated.as_ref().is_err_and(|error| hung.is_named_in(error));
        (!own).then(|| Self { hung, rated: rated.clone(), on_bends: rests.on_bends })
    }

    /// What its rating says of another sling; none where that rests on something else.
    fn rates(&self, other: &Hung<'_>) -> Option<Rated> {
        let Self { hung, rated, on_bends } = self;
        let alike =
            hung.hitch == other.hitch && hung.sling.is_rated_as(other.sling) && (!on_bends || hung.bends_as(other));
        match rated {
            _ if !alike => None,
            Ok(Some(rated)) => capacity::rated_alike(other.sling, hung.sling, rated).map(|rated| Ok(Some(rated))),
            Ok(None) => Some(Ok(None)),
            Err(error) => Some(Err(error.clone().moved(&hung.place(), &other.place()))),
        }
    }
}

/// How the slings of a leg hang.
pub(super) fn hanging<'a>(
    lift: &'a Lift,
    leg: &LegView<'a>,
    place: &'a Place,
    bends: &'a [Bend],
    balance: Option<&Demand>,
) -> Hanging<'a> {
    let temperature = lift.document().environment.temperature.value();
    let flattest = balance.and_then(|demand| demand.moving.legs.get(leg.index)).map(|leg| leg.from_vertical);
    // What tolerances add to the flattest angle they take from the steepest, to first order.
    let nominal = balance.and_then(|demand| nominal_angle(lift, leg.index, &demand.nominal));
    let steepest = nominal.zip(flattest).map(|(nominal, flattest)| (2.0 * nominal - flattest).max(0.0));
    Hanging {
        leg: place,
        hitch: &leg.leg.hitch,
        operation: &lift.document().operation,
        bends,
        from_vertical: flattest,
        steepest,
        temperature: temperature.map(|[low, high]| [low.si(), high.si()]),
    }
}

/// The smallest angle of a leg from vertical in the nominal balance, rad, over its spans that are members.
pub(super) fn nominal_angle(lift: &Lift, leg: usize, nominal: &Certificate) -> Option<f64> {
    let spans = lift.legs().flat_map(|view| {
        let members = view.links.spans().filter(|[from, to]| !from.rigid_with(*to)).count();
        std::iter::repeat_n(view.index, members)
    });
    let of_leg = spans.zip(&nominal.members).filter(|(index, _)| *index == leg);
    of_leg.map(|(_, member)| member.direction.z.abs().min(1.0).acos()).reduce(f64::min)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checks::Sets;
    use crate::demand;
    use serde_json::{Value, json};

    const LIFTS: [&str; 4] = [
        include_str!("../../examples/lifts/generator-skid.json"),
        include_str!("../../examples/lifts/module-hmpe-grommets.json"),
        include_str!("../../examples/lifts/lay-down-pipes-choked.json"),
        include_str!("../../examples/lifts/tool-skid-offshore.json"),
    ];

    /// The lift as it is, with all papers and bends alike, and with one thing that a sling states left out or otherwise.
    fn varied(text: &str) -> Vec<Lift> {
        let drawn: Value = serde_json::from_str(text).unwrap();
        let mut alike = drawn.clone();
        for fitting in alike["fittings"].as_array_mut().into_iter().flatten() {
            fitting["bow_diameter"] = json!("60 mm");
        }
        for sling in alike["slings"].as_array_mut().unwrap() {
            sling["strength"]["source"] = json!("tags of one lot");
        }
        let others = [
            ("/strength/wll", json!("3 t")),
            ("/strength/breaking_load", json!("31 t")),
            ("/strength/basis", json!("part")),
            ("/diameter", json!("31 mm")),
            ("/least_bend_diameter", json!({ "value": "61 mm", "source": "maker" })),
            ("/least_safety_factor", json!({ "value": 9.5, "source": "maker" })),
            ("/sunlight", json!({ "value": "90 %", "source": "maker" })),
            ("/construction", json!("braided_rope")),
            ("/material", json!("polyester")),
            ("/termination", json!("hand_splice")),
            ("/service", json!("jacket_intact")),
            ("/certification", json!("certified")),
            ("/parts", json!(4)),
            ("/grade", json!(10)),
            ("/moisture", json!("wet")),
        ];
        let mut documents = vec![drawn.clone(), alike.clone()];
        for lift in [drawn, alike] {
            let sling = lift["slings"][1].as_object().unwrap().clone();
            for key in sling.keys() {
                let mut without = lift.clone();
                without["slings"][1].as_object_mut().unwrap().remove(key);
                documents.push(without);
            }
            for key in sling["strength"].as_object().unwrap().keys() {
                let mut without = lift.clone();
                without["slings"][1]["strength"].as_object_mut().unwrap().remove(key);
                documents.push(without);
            }
            for (place, other) in &others {
                let mut with = lift.clone();
                let (below, key) = place.rsplit_once('/').unwrap();
                with.pointer_mut(&format!("/slings/1{below}")).unwrap()[key] = other.clone();
                documents.push(with);
            }
            let choke = json!({ "choke": { "angle": "100 deg choke" } });
            for hitch in [json!("straight"), json!("basket"), choke, json!("doubled")] {
                let mut hitched = lift.clone();
                hitched["legs"][1]["hitch"] = hitch.clone();
                documents.push(hitched.clone());
                for leg in hitched["legs"].as_array_mut().unwrap() {
                    leg["hitch"] = hitch.clone();
                }
                documents.push(hitched.clone());
                // Of kinds and sizes that documents print, marked lower than tables do, each on a paper of its own.
                for (construction, material, end, size) in [
                    ("chain", "alloy steel", "link", "13 mm"),
                    ("roundsling", "polyester", "endless", "50 mm"),
                    ("wire_rope", "steel", "hand_splice", "1 in"),
                ] {
                    for (number, sling) in hitched["slings"].as_array_mut().unwrap().iter_mut().enumerate() {
                        let paper = format!("tag {number}");
                        let own = [
                            ("construction", json!(construction)),
                            ("material", json!(material)),
                            ("grade", json!(80)),
                            ("diameter", json!(size)),
                            ("termination", json!(end)),
                            ("core", json!("IWRC")),
                            ("finish", json!("uncoated")),
                            ("strength", json!({ "wll": "2 t", "basis": "whole", "source": paper })),
                        ];
                        for (key, value) in own {
                            sling[key] = value;
                        }
                    }
                    documents.push(hitched.clone());
                }
            }
            let mut bent = lift.clone();
            for (number, fitting) in bent["fittings"].as_array_mut().into_iter().flatten().enumerate() {
                fitting["bow_diameter"] = json!(format!("{} mm", 25 + 30 * number));
            }
            documents.push(bent);
        }
        documents.into_iter().filter_map(|document| Lift::from_json(&document.to_string()).ok()).collect()
    }

    /// Each sling rated as if there were no other.
    fn one_by_one(own: &ByItself<'_>, rules: &RuleSet, balance: Option<&Demand>) -> Vec<Rated> {
        let ByItself { lift, slings, bends, .. } = own;
        let mut bends = bends.iter();
        let mut ratings = Vec::new();
        for leg in lift.legs() {
            let place = leg.place();
            for ((index, sling), bends) in leg.slings().zip(bends.by_ref()) {
                let hangs = hanging(lift, &leg, &place, bends, balance);
                let stated = Stated { sling, index, facts: slings.facts(index).unwrap() };
                ratings.push(capacity::rate_among(stated, &hangs, rules, &Factors::default()).0);
            }
        }
        ratings
    }

    #[test]
    fn what_is_rated_once_for_several_is_what_each_is_rated() {
        let names = RuleSet::built_in_names().iter().chain(RuleSet::document_names());
        let sets: Vec<RuleSet> = names.map(|name| RuleSet::built_in(name).unwrap()).collect();
        let (mut lifts, mut rated, mut refused) = (0, 0, 0);
        for text in LIFTS {
            let drawn = Lift::from_json(text).unwrap();
            for lift in varied(text) {
                let own = ByItself::of(&lift, Sets::Several);
                lifts += 1;
                for rules in &sets {
                    // Angles of the lift as drawn, also where the other hangs in no way that is calculated.
                    let demand = demand::raise(&lift, rules).or_else(|_| demand::raise(&drawn, rules)).ok();
                    let found = of(&own, rules, demand.as_ref());
                    assert_eq!(found, one_by_one(&own, rules, demand.as_ref()), "{} {}", rules.name(), lift.hash());
                    rated += found.iter().filter(|rated| rated.is_ok()).count();
                    refused += found.iter().filter(|rated| rated.is_err()).count();
                }
            }
        }
        println!("{lifts} lifts under {} rule sets: {rated} ratings, {refused} refusals", sets.len());
        assert!(lifts > 150 && rated > 10_000 && refused > 2_000);
    }
}
