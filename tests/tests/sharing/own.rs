//! A rule of the user's own.

use super::*;

/// A rule of a user's own, whose answer is given.
#[derive(Debug)]
struct Own(Vec<f64>);

impl SharingRule for Own {
    fn words(&self) -> Words {
        let source = Source::stated_with_rule("note of the yard");
        Words { name: "own".into(), domain: "any".into(), source, conservative: true }
    }

    fn forces(&self, _: &LegSet) -> Result<Vec<f64>, Error> {
        Ok(self.0.clone())
    }
}

#[test]
fn a_rule_of_the_users_own_is_used_everywhere_and_looked_at() {
    let lift = skid_lift("generator-skid");
    let set = set_of(&lift);
    let own = Own(vec![90e3, 101e3, 80e3, 63e3]);
    let comparison = compare(&set, &[&own]).unwrap();
    let (forces, short, leg) = speaks(&comparison, "own");
    assert_eq!((forces, leg.as_str()), (own.0.clone(), "leg D"));
    assert!(short < 0.0);
    let rules = RuleSet::built_in("us-general").unwrap();
    let by_rule = ByRule::of(&lift, &rules, &own).unwrap();
    let chains: Vec<_> = (0..4).map(|leg| by_rule.leg(leg, "leg", false).unwrap().chain).collect();
    let values: Vec<f64> = chains.iter().map(|chain| chain.value()).collect();
    assert_eq!(values, own.0);
    assert!(chains.iter().all(|chain| chain.is_coherent()));
    assert_eq!(by_rule.leg(4, "leg", false).unwrap_err().code(), "inconsistent");
    let source = Source::new("note of the yard", "", "", Standing::Stated);
    let skewed = Skewed::new(Arc::new(Own(vec![1.0; 4])), 1.25, "matched pairs", source.clone()).unwrap();
    assert_eq!(share(&skewed, &set).unwrap(), [1.25; 4]);
    for factor in [0.99, f64::NAN, f64::INFINITY] {
        assert!(Skewed::new(Arc::new(EqualShare), factor, "", source.clone()).is_err());
    }
    for (forces, code, place) in [
        (vec![1.0; 3], "inconsistent", "/legs"),
        (vec![1.0, f64::NAN, 1.0, 1.0], "out_of_domain", "/legs/1"),
        (vec![1.0, 1.0, 1.0, -1.0], "out_of_domain", "/legs/3"),
        (vec![f64::INFINITY, 1.0, 1.0, 1.0], "out_of_domain", "/legs/0"),
    ] {
        let error = share(&Own(forces), &set).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), (code, place));
        // Through a factor as well.
        let skewed = Skewed::new(Arc::new(Own(vec![f64::NAN; 4])), 1.1, "", source.clone()).unwrap();
        // Who is at fault is told.
        assert!(share(&skewed, &set).unwrap_err().to_string().contains("\"own\""));
    }
}
