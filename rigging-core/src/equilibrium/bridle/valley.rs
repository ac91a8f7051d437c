//! The surroundings of a balance out of which no path of steepest descent leads.

use super::{Bridle, NEARLY_UPRIGHT, Outcome, Workspace};
use crate::equilibrium::certificate::State;
use glam::DVec3;

/// Share of the distance at which the slope may come to its end.
const WITHIN: f64 = 0.9;
/// Height of the rim above the bottom, over W·d·s². At the distance [`WITHIN`] it would be 0.495; the rest is for members
/// that stretch.
const BELOW: f64 = 0.4;

/// With s the least slope of the energy, over the weight, in a direction in which no taut member lengthens, and d the hook's
/// height, the slope is s − r/d at least after a way r from the balance (see
/// [`steepness`](crate::equilibrium::nearby::branch::steepness)), so the energy stands W·(s·r − r²/2d) above the bottom there, or
/// more. A path that is nearer, and lower than that, can neither leave nor end in another balance.
#[derive(Debug, Clone, Copy)]
pub(super) struct Valley {
    /// Hook at the balance, relative to the center of gravity.
    bottom: DVec3,
    /// Greatest distance of the hook from it, m.
    reach: f64,
    /// Greatest potential energy, J.
    rim: f64,
}

impl Valley {
    /// That of the balance in the workspace; none unless it is nearly upright and firm.
    pub(super) fn of(bridle: &Bridle, workspace: &Workspace, outcome: &Outcome) -> Option<Self> {
        if outcome.state != State::Stable || outcome.up.z <= NEARLY_UPRIGHT || !workspace.firm {
            return None;
        }
        let square = workspace.steepness();
        (square > 0.0).then(|| Self {
            bottom: outcome.hook,
            reach: WITHIN * square.sqrt() * workspace.height,
            rim: bridle.energy(outcome.hook) + BELOW * square * bridle.weight * workspace.height,
        })
    }

    /// Whether a hook is in it.
    pub(super) fn holds(&self, bridle: &Bridle, hook: DVec3) -> bool {
        hook.distance_squared(self.bottom) <= self.reach * self.reach && bridle.energy(hook) <= self.rim
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::system::Law;

    /// Numbers between −1 and 1, from a linear congruential generator.
    fn draws() -> impl Iterator<Item = f64> {
        let mut state = 11_u64;
        std::iter::repeat_with(move || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (state >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
        })
    }

    #[test]
    fn what_is_let_go_in_the_valley_comes_to_its_bottom() {
        let mut draws = draws();
        let mut draw = move || draws.next().unwrap();
        let (mut valleys, mut within) = (0, 0);
        for _ in 0..400 {
            let corners = [[2.6, 1.05], [2.6, -1.05], [-2.6, -1.05], [-2.6, 1.05]];
            let points = corners.map(|[x, y]| DVec3::new(x, y, 0.1 * draw())).to_vec();
            let lengths = (0..4).map(|_| 6.0 + 0.2 * draw()).collect();
            let laws = vec![Law::linear(10.0_f64.powf(6.75 + 1.5 * draw())).unwrap(); 4];
            let center = DVec3::new(0.6 * draw(), 0.3 * draw(), 0.5 + 1.0 * draw());
            let bridle = Bridle::new(points, lengths, laws, center, 181.0e3).unwrap();
            let mut workspace = Workspace::default();
            let Ok(outcome) = bridle.solve(&mut workspace) else { continue };
            let Some(valley) = Valley::of(&bridle, &workspace, &outcome) else { continue };
            valleys += 1;
            for _ in 0..200 {
                let hook = valley.bottom + valley.reach * DVec3::new(draw(), draw(), draw());
                if valley.holds(&bridle, hook) {
                    within += 1;
                    let end = bridle.settle(&mut workspace, hook).unwrap();
                    assert!(end.hook.distance(valley.bottom) < 1e-6 * end.hook.length(), "{hook} ends at {}", end.hook);
                }
            }
        }
        println!("{within} hooks in {valleys} valleys");
        assert!(valleys > 100 && within > 1000);
    }
}
