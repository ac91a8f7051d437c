//! The numbers of a system that may differ from those stated, one after the other.

use super::{Hook, Law, System};
use crate::error::{Error, Place};
use glam::DVec3;

/// Which number of a system is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(crate) enum Number {
    /// Unstretched length of a member, m.
    Length(usize),
    /// Factor on the law of a member.
    Stiffness(usize),
    /// A coordinate of the center of gravity of a body in its frame, m.
    Center { body: usize, axis: usize },
    /// Mass of a body, kg.
    Mass(usize),
    /// Height of a hook in the world, m.
    Height(usize),
}

impl System {
    /// All of them: lengths, factors on the laws (1), centers of gravity, masses, heights of the hooks.
    pub(crate) fn numbers(&self) -> Vec<f64> {
        let lengths = self.members.iter().map(|member| member.length);
        let factors = self.members.iter().map(|_| 1.0);
        let centers = self.bodies.iter().flat_map(|body| body.center_of_gravity.to_array());
        let masses = self.bodies.iter().map(|body| body.mass);
        let heights = self.hooks.iter().map(|hook| hook.position.z);
        lengths.chain(factors).chain(centers).chain(masses).chain(heights).collect()
    }

    /// Where a number stands among them; none if it refers to nothing.
    pub(crate) fn place_of(&self, number: Number) -> Option<usize> {
        let (members, bodies, hooks) = (self.members.len(), self.bodies.len(), self.hooks.len());
        let (index, count, first) = match number {
            Number::Length(member) => (member, members, 0),
            Number::Stiffness(member) => (member, members, members),
            Number::Center { axis: 3.., .. } => return None,
            Number::Center { body, axis } => (3 * body + axis, 3 * bodies, 2 * members),
            Number::Mass(body) => (body, bodies, 2 * members + 3 * bodies),
            Number::Height(hook) => (hook, hooks, 2 * members + 4 * bodies),
        };
        (index < count).then_some(first + index)
    }

    /// The same arrangement with other numbers; a factor acts on the law as it is here.
    ///
    /// # Errors
    ///
    /// As [`System::new`]; [`Error::Inconsistent`] for another count of numbers.
    pub(crate) fn with_numbers(&self, numbers: &[f64]) -> Result<Self, Error> {
        let (members, bodies) = (self.members.len(), self.bodies.len());
        let expected = 2 * members + 4 * bodies + self.hooks.len();
        if numbers.len() != expected {
            let what = format!("{} numbers for a system of {expected}", numbers.len());
            return Err(Error::inconsistent(what, Place::root()));
        }
        let mut rest = numbers.iter().copied();
        let mut other = self.clone();
        for (member, length) in other.members.iter_mut().zip(rest.by_ref().take(members)) {
            member.length = length;
        }
        for (index, (member, factor)) in other.members.iter_mut().zip(rest.by_ref().take(members)).enumerate() {
            if factor != 1.0 {
                let place = || Place::root().child("members").child(index).child("law");
                member.law = Law::scaled(&member.law, factor).map_err(|error| error.at(place()))?;
            }
        }
        for body in &mut other.bodies {
            let mut next = || rest.next().unwrap_or(f64::NAN);
            body.center_of_gravity = DVec3::new(next(), next(), next());
        }
        for (body, mass) in other.bodies.iter_mut().zip(rest.by_ref().take(bodies)) {
            body.mass = mass;
        }
        other.hooks =
            other.hooks.iter().zip(rest).map(|(hook, z)| Hook { position: DVec3 { z, ..hook.position } }).collect();
        super::validate::validate(&other)?;
        Ok(other)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::system::{Body, End, Member};
    use glam::DQuat;

    #[test]
    fn every_number_has_its_place() {
        let hooks = vec![Hook { position: DVec3::new(0.0, 0.0, 5.0) }, Hook { position: DVec3::new(2.0, 0.0, 6.0) }];
        let body = |x: f64, mass: f64| Body {
            mass,
            center_of_gravity: DVec3::new(0.1, 0.2, 0.3),
            points: vec![DVec3::ZERO],
            position: DVec3::new(x, 0.0, 0.0),
            rotation: DQuat::IDENTITY,
        };
        let member = |hook| Member {
            a: End::Hook(hook),
            b: End::Body { body: hook, point: 0 },
            length: 4.0,
            law: Law::linear(1.0e6).unwrap(),
        };
        let bodies = vec![body(0.0, 100.0), body(2.0, 200.0)];
        let system = System::new(9.80665, hooks, vec![], bodies, vec![member(0), member(1)]).unwrap();
        let same = system.with_numbers(&system.numbers()).unwrap();
        assert_eq!(same, system);
        let changed = |number, value| {
            let mut numbers = system.numbers();
            numbers[system.place_of(number).unwrap()] = value;
            system.with_numbers(&numbers).unwrap()
        };
        assert_eq!(changed(Number::Length(1), 4.5).members()[1].length, 4.5);
        assert_eq!(changed(Number::Stiffness(1), 2.0).members()[1].law, Law::linear(2.0e6).unwrap());
        let center = changed(Number::Center { body: 1, axis: 2 }, -1.0).bodies()[1].center_of_gravity;
        assert_eq!(center, DVec3::new(0.1, 0.2, -1.0));
        assert_eq!(changed(Number::Mass(1), 7.0).bodies()[1].mass, 7.0);
        assert_eq!(changed(Number::Height(1), 9.0).hooks()[1].position, DVec3::new(2.0, 0.0, 9.0));
        for nothing in [
            Number::Length(2),
            Number::Stiffness(2),
            Number::Center { body: 0, axis: 3 },
            Number::Center { body: 2, axis: 0 },
            Number::Mass(2),
            Number::Height(2),
        ] {
            assert_eq!(system.place_of(nothing), None);
        }
        let mut numbers = system.numbers();
        numbers[0] = f64::NAN;
        assert_eq!(system.with_numbers(&numbers).unwrap_err().code(), "out_of_domain");
        assert!(system.with_numbers(&numbers[1..]).is_err());
    }
}
