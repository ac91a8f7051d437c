//! What slings have in common: what a rating rests on is compared, names and papers are not.

use super::{Known, Rated, Sling, Strength, Tag};

impl Sling {
    /// Whether another sling states the same, word for word, of all that a rating can rest on, but for the paper that states its
    /// strength. Every field is named, so that a new one has to be decided upon.
    pub(crate) fn is_rated_as(&self, other: &Self) -> bool {
        let Self {
            name: _,
            construction,
            material,
            grade,
            strength,
            parts,
            stiffness: _,
            diameter,
            width,
            thickness,
            length: _,
            clear_length: _,
            circumference: _,
            lay_length: _,
            reference_number,
            termination,
            core,
            finish,
            least_safety_factor,
            least_edge_radius: _,
            least_bend_diameter,
            temperature_range: _,
            moisture,
            service,
            certification,
            twisting_possible,
            identity: _,
            tag,
            test_certificate: _,
            end_fitting_strength: _,
            sunlight,
            creep: _,
            withstands: _,
            mass: _,
        } = self;
        (construction, material, grade) == (&other.construction, &other.material, &other.grade)
            && strength.says_what(&other.strength)
            && parts == &other.parts
            && (diameter, width, thickness) == (&other.diameter, &other.width, &other.thickness)
            && (reference_number, termination) == (&other.reference_number, &other.termination)
            && (core, finish) == (&other.core, &other.finish)
            && (least_safety_factor, least_bend_diameter) == (&other.least_safety_factor, &other.least_bend_diameter)
            && (moisture, service, certification) == (&other.moisture, &other.service, &other.certification)
            && (twisting_possible, sunlight) == (&other.twisting_possible, &other.sunlight)
            && shown(tag) == shown(&other.tag)
    }
}

impl Strength {
    /// Whether another strength is stated in the same words, be it on another paper.
    fn says_what(&self, other: &Self) -> bool {
        let Self { wll, wll_choke, wll_basket, breaking_load, basis, source } = self;
        (wll, wll_choke, wll_basket) == (&other.wll, &other.wll_choke, &other.wll_basket)
            && (breaking_load, basis) == (&other.breaking_load, &other.basis)
            && source.is_unknown() == other.source.is_unknown()
    }

    /// Whether another one states the same figures, in whatever units, be it on another paper.
    pub(crate) fn has_figures_of(&self, other: &Self) -> bool {
        let loads = |strength: &Self| {
            let Self { wll, wll_choke, wll_basket, breaking_load, .. } = strength;
            [wll, wll_choke, wll_basket, breaking_load].map(|load| load.value().map(|load| load.force().si()))
        };
        loads(self) == loads(other)
            && self.basis == other.basis
            && self.source.is_unknown() == other.source.is_unknown()
    }
}

/// What a tag shows.
fn shown(tag: &Known<Tag>) -> Option<&Known<Rated>> {
    tag.value().map(|tag| &tag.wll)
}
