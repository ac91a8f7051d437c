//! Which branch is meant: two methods from one start, refined until they end alike.

use super::valley::Valley;
use super::{Bridle, NEARLY_UPRIGHT, Outcome, Workspace};
use crate::equilibrium::certificate::State;
use crate::equilibrium::descent::CAREFUL;
use crate::equilibrium::path;
use crate::error::{Error, Place};
use glam::DVec3;

/// Longest step of the descent and accuracy of the path, from one attempt to agree to the next.
const FINER: [(f64, f64); 3] =
    [(CAREFUL, path::USUAL), (CAREFUL / 8.0, path::USUAL / 30.0), (CAREFUL / 64.0, path::USUAL / 1000.0)];
/// Spread of a path, over the hook's height, up to which one agreement is enough. Among 200,000 random bridles no path
/// below it was wrong together with the descent in short steps.
const MOST_SPREAD: f64 = 3.0e-3;
/// Stiffness of the softest mode, over W/d, above which a balance may lie in a narrow valley between members that are all
/// but inextensible, which coarse steps can fall into together: of a million random bridles those that did had 89 to 1200.
const NARROW: f64 = 20.0;
/// Distance between two unit vectors upward that are one pose to the last digits.
const ONE_POSE: f64 = 1.0e-9;
/// Distance between two unit vectors upward that are one pose.
const SAME_POSE: f64 = 2.0e-3;

impl Outcome {
    /// Whether both are one balance. Where a lost load ends is of no account, and a neutral one has no single pose; at
    /// the limit of stability rounding alone may call one pose stable, neutral or unstable.
    fn agrees(&self, other: &Self) -> bool {
        let apart = (self.up - other.up).length();
        // At a tilt of 90°, too, rounding alone calls one pose lost or not.
        apart <= ONE_POSE
            || match (self.state, other.state) {
                (State::Lost, State::Lost) | (State::Neutral, State::Neutral) => true,
                (State::Lost, _) | (_, State::Lost) => false,
                _ => apart <= SAME_POSE,
            }
    }
}

impl Bridle {
    /// The end of the path of steepest descent: where a descent in short steps and an integration of the path agree,
    /// refined until they do. A path that comes into the valley of the balance that the descent found is at its end. An
    /// agreement is taken at once if the path passed no separatrix nearby and ends in the lowest balance of all, in one that
    /// is nearly upright and firm in a wide valley, or turns over; otherwise at its repetition by finer descents, or at the
    /// finest.
    pub(super) fn decide(&self, workspace: &mut Workspace, start: DVec3) -> Result<Outcome, Error> {
        // The path has legs of its own: those of the balance stay as they stand.
        let mut aside = Workspace { legs: std::mem::take(&mut workspace.aside), ..Workspace::default() };
        self.load(&mut aside);
        let found = self.decided(workspace, &mut aside, start);
        workspace.aside = aside.legs;
        found
    }

    fn decided(&self, workspace: &mut Workspace, aside: &mut Workspace, start: DVec3) -> Result<Outcome, Error> {
        let mut steps = 0;
        let (mut usual, mut before): (Option<Outcome>, Option<Outcome>) = (None, None);
        let (mut apart, mut agreed) = (f64::INFINITY, CAREFUL);
        for (level, (longest, accuracy)) in FINER.into_iter().enumerate() {
            let descended = self.descend(workspace, start, longest);
            let valley = descended.as_ref().ok().and_then(|outcome| Valley::of(self, workspace, outcome));
            let within = valley.map(|valley| move |hook| valley.holds(self, hook));
            let course = path::follow(&mut aside.legs, &self.laws, self.weight, start, accuracy, within);
            let followed = match &course.end {
                Some(end) => self.certify(aside, end),
                None => descended.clone(),
            };
            steps += course.steps + descended.as_ref().map_or(0, |outcome| outcome.iterations);
            if level == 0 && followed.is_err() && descended.is_err() {
                // Where not even coarse steps come to rest, the numbers are beyond the arithmetic.
                break;
            }
            // Finer descents can come to rest nowhere where coarser ones did; that contradicts nothing.
            let (Ok(followed), Ok(mut outcome)) = (followed, descended) else { continue };
            apart = (followed.up - outcome.up).length();
            if !outcome.agrees(&followed) {
                before = None;
                continue;
            }
            // Coarse descents that agree were caught together by a narrow balance beside the path, three times in 1.5 million
            // random bridles; none that is the lowest of all, none that turned over, and none in a wide valley.
            let open = outcome.lowest || outcome.state == State::Lost || self.firm_and_wide(workspace, &outcome);
            let finest = level + 1 == FINER.len();
            if (open && course.spread <= MOST_SPREAD) || finest || before.is_some_and(|before| before.agrees(&outcome))
            {
                if before.is_some() && usual.is_some_and(|usual| usual.agrees(&outcome)) {
                    // One balance has one set of digits, however often its branch was looked at.
                    outcome = self.descend(workspace, start, CAREFUL)?;
                    steps += outcome.iterations;
                }
                outcome.iterations = steps;
                return Ok(outcome);
            }
            if level == 0 {
                usual = Some(outcome);
            }
            before = Some(outcome);
            agreed = longest;
        }
        if before.is_some() {
            let mut outcome = self.descend(workspace, start, agreed)?;
            outcome.iterations += steps;
            return Ok(outcome);
        }
        workspace.state = None;
        let allowed = format!("at most {SAME_POSE:e}: the branch is not decided");
        let reading = crate::error::Reading::new("distance between the ends of two descents", apart, "", allowed);
        Err(Error::Unconverged { reading, place: Place::root() })
    }

    /// Whether a balance is nearly upright, and its softest mode neither soft nor that of a narrow valley.
    fn firm_and_wide(&self, workspace: &Workspace, outcome: &Outcome) -> bool {
        let upright = outcome.state == State::Stable && outcome.up.z > NEARLY_UPRIGHT;
        upright && workspace.firm && !self.softest_above(workspace, NARROW)
    }
}
