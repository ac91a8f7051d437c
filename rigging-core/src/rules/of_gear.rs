//! Facts of an item of gear, in the words of the rule sets.
//!
//! The documents' families do not fall together with ours everywhere; what a rule set calls an item is decided here and
//! nowhere else.

use super::Facts;
use super::unit::Unit;
use super::vocabulary as fact;
use crate::gear::{Construction, Fitting, Material, Service, Sling, Termination};

/// Where water freezes, K.
const FREEZING: f64 = 273.15;

impl Facts {
    /// The same facts with what a sling states of itself: construction, material, grade, size, core, finish, ends, service.
    #[must_use]
    pub fn of_sling(mut self, sling: &Sling) -> Self {
        // A rope closed upon itself bears with its body; what has ends bears with its eyes.
        let bend = match sling.construction {
            Construction::EndlessRope | Construction::Grommet | Construction::CableLaidGrommet => "body",
            _ => "eye",
        };
        let termination = sling.termination.value().and_then(|end| self::termination(*end, sling.material));
        let lay = match sling.construction {
            Construction::LaidRope => Some("laid"),
            Construction::BraidedRope => Some("braided"),
            _ => None,
        };
        let words = [
            (&fact::CONSTRUCTION, Some(construction(sling))),
            (&fact::FIBER_ROPE_LAY, lay),
            (&fact::MATERIAL, Some(material(sling.material))),
            (&fact::BEND_AT, Some(bend)),
            (&fact::STATE, sling.moisture.value().map(|moisture| moisture.word())),
            (&fact::SERVICE, sling.service.value().map(|used| service(*used))),
            (&fact::CERTIFICATION, sling.certification.value().map(|certification| certification.word())),
            (&fact::TWISTING_POSSIBLE, sling.twisting_possible.value().map(|can| if *can { "yes" } else { "no" })),
            (&fact::TERMINATION, termination),
            (&fact::CORE, sling.core.value().map(|core| core.word())),
            (&fact::FINISH, sling.finish.value().map(|finish| finish.word())),
        ];
        for (known, word) in words {
            if let Some(word) = word {
                self.set_word(known, word);
            }
        }
        // A grade that no document knows is an unknown one to all of them.
        if let Some(grade) = sling.grade.value().map(u32::to_string).filter(|grade| fact::GRADE.word(grade).is_some()) {
            self.set_word(&fact::GRADE, &grade);
        }
        if let Some(diameter) = sling.diameter.value() {
            let across =
                if sling.construction == Construction::Chain { &fact::CHAIN_SIZE } else { &fact::ROPE_DIAMETER };
            self.set_si(across, diameter.si());
        }
        if let Some(number) = sling.reference_number.value() {
            self.set_si(&fact::REFERENCE_NUMBER, f64::from(*number));
        }
        // Of webbing the width is that of the web; a roundsling's is that of its cover, which no document asks for.
        if let (Construction::Web, Some(width)) = (sling.construction, sling.width.value()) {
            self.set_si(&fact::SLING_WIDTH, width.si());
        }
        self
    }

    /// The same facts with the hitch and the configuration, in the words of the rule sets.
    #[must_use]
    pub(crate) fn in_hitch(mut self, hitch: &str, configuration: &str) -> Self {
        self.set_word(&fact::HITCH, hitch);
        self.set_word(&fact::CONFIGURATION, configuration);
        self
    }

    /// The same facts of a bend between the ends of a sling: it bends with its body there, whatever its ends are.
    #[must_use]
    pub(crate) fn bent_between(mut self) -> Self {
        self.set_word(&fact::BEND_AT, "body");
        self
    }

    /// The same facts of a thimble in the eye of a sling, in a lift of any category: the lift document describes neither, and what
    /// a rule set asks of it is told.
    #[must_use]
    pub(crate) fn bent_round_a_thimble(mut self) -> Self {
        self.set_word(&fact::BEND_AT, "thimble");
        self.set_word(&fact::LIFT_CATEGORY, "critical");
        self
    }

    /// The same facts with the angle of a leg from horizontal, rad. One that leads down to what holds it counts as level: no document
    /// rates flatter.
    #[must_use]
    pub(crate) fn inclined(mut self, from_horizontal: f64) -> Self {
        self.set_si(&fact::ANGLE_FROM_HORIZONTAL, from_horizontal.max(0.0));
        self
    }

    /// The same facts without the angle of a leg.
    #[must_use]
    pub(crate) fn not_inclined(mut self) -> Self {
        self.forget(&fact::ANGLE_FROM_HORIZONTAL);
        self
    }

    /// The same facts of a set of legs: its configuration, its utilization and the angles of its flattest and steepest leg
    /// from horizontal, rad.
    #[must_use]
    pub(crate) fn of_set(
        mut self,
        configuration: &str,
        utilization: f64,
        flattest: f64,
        steepest: Option<f64>,
    ) -> Self {
        self.set_word(&fact::CONFIGURATION, configuration);
        self.set_si(&fact::UTILIZATION, utilization);
        self = self.inclined(flattest);
        if let Some(steepest) = steepest {
            self.set_si(&fact::STEEPEST_LEG_ANGLE, steepest.max(0.0));
        }
        self
    }

    /// The same facts of a sling of a set, as far as the lift tells how its slings are made to each other: tolerance of its length and
    /// difference within the pairs, in diameters, where no greater one is stated; whether the longer two lie on one diagonal.
    #[must_use]
    pub(crate) fn made_to_each_other(
        mut self,
        sling: &Sling,
        tolerance: Option<f64>,
        difference: Option<f64>,
        on_one_diagonal: Option<bool>,
    ) -> Self {
        for (known, found) in [
            (&fact::SLING_LENGTH_TOLERANCE_IN_DIAMETERS, tolerance),
            (&fact::PAIR_LENGTH_DIFFERENCE_IN_DIAMETERS, difference),
        ] {
            let stated = self.stated_number(known, Unit::PLAIN).map(|(stated, _)| stated);
            // How well pairs were matched is not in their drawn lengths: these only tell a difference that cannot be less.
            let alone = known == &fact::SLING_LENGTH_TOLERANCE_IN_DIAMETERS;
            if let Some(found) = found.filter(|found| stated.map_or(alone, |stated| *found > stated)) {
                self.set_si(known, found);
            }
        }
        let stated = self.own_word(&fact::LONGER_SLINGS_ON_ONE_DIAGONAL).is_some();
        if let Some(on_one) = on_one_diagonal.filter(|on_one| *on_one || !stated) {
            self.set_word(&fact::LONGER_SLINGS_ON_ONE_DIAGONAL, if on_one { "yes" } else { "no" });
        }
        if matches!(sling.construction, Construction::CableLaidWireRope | Construction::CableLaidGrommet) {
            self.set_word(&fact::ROPE_LAY, "cable-laid");
        }
        self
    }

    /// The lay that is stated of a wire rope, where the sling is of steel and none.
    pub(crate) fn lay_of_no_wire_rope(&self, sling: &Sling) -> Option<&'static str> {
        let rope = ["wire rope", "wire rope grommet", "cable-laid rope", "cable-laid grommet"];
        let stated = fact::ROPE_LAY.text(self.own_word(&fact::ROPE_LAY)?);
        (steel(sling.material) && !rope.contains(&construction(sling))).then_some(stated)
    }

    /// The same facts with the utilization that was found of a sling.
    #[must_use]
    pub(crate) fn used_at(mut self, utilization: f64) -> Self {
        self.set_si(&fact::UTILIZATION_WITH_THE_SKEW_FACTOR, utilization);
        self.set_si(&fact::UTILIZATION, utilization);
        self
    }

    /// The same facts at a temperature, K.
    #[must_use]
    pub(crate) fn at_temperature(mut self, temperature: f64) -> Self {
        self.set_si(&fact::TEMPERATURE, temperature);
        self
    }

    /// The same facts, and whether what is in the gear is frozen at a temperature, K; unknown of gear that may be wet.
    #[must_use]
    pub(crate) fn frozen_at(mut self, temperature: f64) -> Self {
        let state = self.stated_word(&fact::STATE).map(|word| fact::STATE.text(word));
        match state {
            _ if temperature >= FREEZING => self.set_word(&fact::WET_AND_FROZEN, "no"),
            Some("dry") => self.set_word(&fact::WET_AND_FROZEN, "no"),
            Some("wet") => self.set_word(&fact::WET_AND_FROZEN, "yes"),
            _ => {}
        }
        self
    }

    /// The same facts with a fitting's family and, where they are marked, its limits.
    #[must_use]
    pub fn of_fitting(mut self, fitting: &Fitting) -> Self {
        use crate::gear::FittingKind::{BowShackle, DeeShackle, LegHook, LengthAdjuster, Ring, Swivel};
        let family = match fitting.kind {
            BowShackle | DeeShackle => "shackle",
            Ring => "ring",
            LengthAdjuster => "link",
            LegHook => "hook",
            Swivel => "swivel",
        };
        self.set_word(&fact::CONSTRUCTION, family);
        let rating = &fitting.rating;
        let limits = [
            (&fact::WORKING_LOAD_LIMIT, &rating.wll),
            (&fact::BREAKING_LOAD, &rating.breaking_load),
            (&fact::PROOF_LOAD, &rating.proof_load),
        ];
        for (known, limit) in limits {
            if let Some(limit) = limit.value() {
                self.set_si(known, limit.force().si());
            }
        }
        self
    }
}

const fn steel(material: Material) -> bool {
    matches!(material, Material::Steel | Material::AlloySteel)
}

/// What documents call "chain", "wire rope" or "cable-laid rope" is of steel, whether they say so or not: what is made of
/// fibers in that form is none of it, and "fiber rope" is none of steel.
const fn construction(sling: &Sling) -> &'static str {
    match (sling.construction, steel(sling.material)) {
        (Construction::LaidRope | Construction::BraidedRope, false) => "fiber rope",
        (Construction::LaidRope, true) => "wire rope",
        (Construction::BraidedRope, true) => "braided wire rope",
        (Construction::EndlessRope | Construction::Grommet, false) => "fiber rope grommet",
        (Construction::EndlessRope | Construction::Grommet, true) => "wire rope grommet",
        (Construction::Roundsling, _) => "roundsling",
        (Construction::Web, _) => "web",
        (Construction::WireRope, true) => "wire rope",
        (Construction::CableLaidWireRope, true) => "cable-laid rope",
        (Construction::WireRope | Construction::CableLaidWireRope, false) => "other",
        (Construction::CableLaidGrommet, true) => "cable-laid grommet",
        (Construction::CableLaidGrommet, false) => "fiber rope grommet",
        (Construction::Chain, true) => "chain",
        (Construction::Chain, false) => "fiber chain",
    }
}

const fn material(material: Material) -> &'static str {
    match material {
        Material::Hmpe => "HMPE",
        Material::Polyester => "polyester",
        Material::Polyamide => "nylon",
        Material::Polypropylene => "polypropylene",
        Material::Aramid => "aramid",
        Material::NaturalFiber => "natural fiber",
        Material::Manila => "manila",
        Material::Steel | Material::AlloySteel => "steel",
    }
}

const fn service(service: Service) -> &'static str {
    match service {
        Service::InspectedBeforeEachLift => "inspected",
        Service::FrequentWithoutInspection | Service::JacketIntact | Service::FabricationYard => service.word(),
    }
}

/// None where no rule set has a word for it: the fact is then unknown to it.
const fn termination(termination: Termination, material: Material) -> Option<&'static str> {
    match (termination, steel(material)) {
        (Termination::Endless, _) => Some("endless"),
        (Termination::HandSplice, true) => Some("hand splice"),
        (Termination::HandSplice, false) => Some("spliced fiber"),
        (Termination::SteelFerrule, _) => Some("steel ferrule"),
        (Termination::AluminumFerrule, _) => Some("aluminum ferrule"),
        (Termination::ResinSocket, _) => Some("resin socket"),
        (Termination::Swage, _) => Some("swaged fitting"),
        (Termination::MechanicalSplice, true) => Some("mechanical splice"),
        (Termination::MechanicalSplice, false) => None,
        (Termination::SewnEye, _) => Some("sewn fiber"),
        (Termination::Link, _) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::gear::{Certification, Core, Finish, Moisture};

    #[test]
    fn every_word_of_a_document_is_one_of_the_rule_sets() {
        let bare = r#"{ "name": "a", "construction": "chain", "material": "steel" }"#;
        let bare: Sling = serde_json::from_str(bare).unwrap();
        let mut slings: Vec<Sling> = Vec::new();
        let mut one = |change: &dyn Fn(&mut Sling)| {
            let mut sling = bare.clone();
            change(&mut sling);
            slings.push(sling);
        };
        for grade in [2_u32, 4, 7, 8, 10, 80, 100, 120] {
            one(&|sling| sling.grade = grade.into());
        }
        use Construction::{
            BraidedRope, CableLaidGrommet, CableLaidWireRope, Chain, EndlessRope, Grommet, LaidRope, Roundsling, Web,
            WireRope,
        };
        for construction in [
            LaidRope,
            BraidedRope,
            EndlessRope,
            Grommet,
            Roundsling,
            Web,
            WireRope,
            CableLaidWireRope,
            Chain,
            CableLaidGrommet,
        ] {
            one(&|sling| sling.construction = construction);
        }
        use Material::{AlloySteel, Aramid, Hmpe, Manila, NaturalFiber, Polyamide, Polyester, Polypropylene, Steel};
        for material in [Hmpe, Polyester, Polyamide, Polypropylene, Aramid, NaturalFiber, Manila, Steel, AlloySteel] {
            one(&|sling| sling.material = material);
        }
        use Termination::{
            AluminumFerrule, Endless, HandSplice, Link, MechanicalSplice, ResinSocket, SewnEye, SteelFerrule, Swage,
        };
        for end in
            [Endless, HandSplice, SteelFerrule, AluminumFerrule, ResinSocket, Swage, MechanicalSplice, SewnEye, Link]
        {
            one(&|sling| sling.termination = end.into());
            one(&|sling| (sling.termination, sling.material) = (end.into(), Polyester));
        }
        use Service::{FabricationYard, FrequentWithoutInspection, InspectedBeforeEachLift, JacketIntact};
        for service in [InspectedBeforeEachLift, FrequentWithoutInspection, JacketIntact, FabricationYard] {
            one(&|sling| sling.service = service.into());
        }
        for certification in [Certification::Certified, Certification::AsNew] {
            one(&|sling| sling.certification = certification.into());
        }
        for core in [Core::Fiber, Core::Steel, Core::WireRope] {
            one(&|sling| sling.core = core.into());
        }
        for moisture in [Moisture::Dry, Moisture::Wet] {
            one(&|sling| sling.moisture = moisture.into());
        }
        for finish in [Finish::Uncoated, Finish::Galvanized] {
            one(&|sling| sling.finish = finish.into());
        }
        println!("{} slings", slings.len());
        for sling in &slings {
            assert_eq!(Facts::new().of_sling(sling).refusal(), None, "{sling:?}");
        }
    }
}
