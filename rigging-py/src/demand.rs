//! Sharing rules against the elastic worst case of a lift.

use crate::arrangement::Lift;
use crate::guard::guard;
use crate::sharing::{Raised, SharingRule, angle};
use pyo3::prelude::*;
use rigging_core::demand::{compare, compare_sharing};
use rigging_core::report::json;
use rigging_core::sharing::LegSet;
use rigging_core::system::Masses;

#[pymethods]
impl Lift {
    /// The load under sharing rules, against the elastic worst case.
    ///
    /// The worst case is what is attained at the vertices of the tolerances, and no bound. A rule that covers one lift is not
    /// proven for another.
    ///
    /// Parameters
    /// ----------
    /// angle_from_vertical_rad : float, optional
    ///     One angle from vertical for every leg, in rad, from 0 to below a right angle; the angles are as drawn where it is
    ///     left out.
    /// rules : sequence of sharing.SharingRule, optional
    ///     The rules, own ones among them; those that come with the package where it is left out.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `weight` (N), `legs`, `nominal` and `worst` (tension of each leg, N), `rules`. A rule is a dict: `rule`, its
    ///     own words (`name`, `domain`, `source`, `conservative`), and `answer`: either `speaks`, with the `forces`, how far
    ///     each is `below` the worst (N) and the leg of which it covers the least (`shortest`), or `refuses`, with `code` and
    ///     `why`.
    ///
    /// Raises
    /// ------
    /// MissingError
    ///     For an input or a tolerance that is not known.
    /// UnsupportedError
    ///     For another arrangement than one load under one hook, or where a balance is not stable.
    /// OutOfDomainError
    ///     For an angle outside its range.
    /// InconsistentError, MalformedError, OutOfDomainError
    ///     For a rule of your own that answers not one force a leg. What it raises otherwise travels out.
    ///
    /// Examples
    /// --------
    /// >>> from math import radians
    /// >>> from rigging_py import Lift
    /// >>> comparison = Lift.demo("generator-skid").compare_sharing(angle_from_vertical_rad=radians(27.5))
    /// >>> for compared in comparison["rules"][:3]:
    /// ...     print(compared["rule"]["name"], round(compared["answer"]["speaks"]["forces"][1] / 1e3, 1))
    /// equal share by angle 51.1
    /// three legs carry all 68.2
    /// two legs carry all 102.3
    #[pyo3(signature = (angle_from_vertical_rad=None, *, rules=None))]
    fn compare_sharing<'py>(
        &self,
        py: Python<'py>,
        angle_from_vertical_rad: Option<&Bound<'py, PyAny>>,
        rules: Option<Vec<SharingRule>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let angle = angle_from_vertical_rad.map(angle).transpose()?;
        let text = match rules {
            None => guard(|| py.detach(|| json::answer(&compare_sharing(&self.0, angle)?)))?,
            Some(rules) => {
                let raised = Raised::default();
                let rules = rules.iter().map(|rule| rule.core(py, &raised)).collect::<PyResult<Vec<_>>>()?;
                raised.or(guard(|| {
                    py.detach(|| {
                        let set = LegSet::of(&self.0, Masses::stated(&self.0)?)?;
                        let set = angle.map_or(Ok(set.clone()), |angle| set.with_angle(angle))?;
                        let rules: Vec<_> = rules.iter().map(AsRef::as_ref).collect();
                        json::answer(&compare(&set, &rules)?)
                    })
                }))?
            }
        };
        py.import("json")?.call_method1("loads", (text,))
    }
}
