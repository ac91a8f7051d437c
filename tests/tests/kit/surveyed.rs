//! The map of where rules fall short.

use super::*;
use rigging_core::demand::{Ruled, compare};
use rigging_core::kit::{Axis, RefuteInputs, Survey, SurveyInputs, survey, survey_while};

fn axis(number: Number, values: &[f64]) -> Axis {
    Axis { number, values: values.to_vec() }
}

/// Every cell is what the comparison of that one lift says.
#[test]
fn a_cell_is_the_comparison_of_its_lift() {
    let mut base = Outline::of(&skid("generator-skid")).unwrap();
    base.center_tolerance = [0.0; 3];
    let axes = [
        axis(Number::CenterOfGravity { axis: 0 }, &[0.0, 0.45, 2.9]),
        axis(Number::Stiffnesses, &[4.0e6, 6.0e6, 9.6e6, 2.0e7]),
        axis(Number::LengthTolerances, &[0.0, 0.03]),
    ];
    let rules: [&dyn SharingRule; 3] = [&LegsCounted::two(), &LegsCounted::three(), &Determinate];
    let found = survey(&base, &axes, &rules).unwrap();
    assert_eq!(found.shape(), [3, 4, 2]);
    let mut covered = 0;
    for (cell, worst) in found.worst.iter().enumerate() {
        let mut outline = base.clone();
        outline.center_of_gravity[0] = axes[0].values[cell / 8];
        outline.stiffnesses = vec![axes[1].values[cell / 2 % 4]; 4];
        outline.length_tolerances = vec![axes[2].values[cell % 2]; 4];
        let Ok(comparison) = compare(&outline.leg_set().unwrap(), &rules) else {
            // A center of gravity beyond the lift points hangs from no four legs.
            assert_eq!((cell / 8, *worst, found.short[0][cell]), (2, None, None));
            continue;
        };
        assert_eq!(*worst, Some(comparison.worst.iter().copied().fold(0.0, f64::max)));
        for (column, compared) in found.short.iter().zip(&comparison.rules) {
            match &compared.answer {
                Ruled::Speaks { shortest, .. } => assert_eq!(column[cell], Some(shortest.share)),
                Ruled::Refuses { .. } => assert_eq!(column[cell], None),
            }
        }
        covered += usize::from(found.short[0][cell].unwrap() <= 0.0);
    }
    // The stiffer the slings, the less two legs cover.
    let two = |stiffness: usize| found.short[0][8 + 2 * stiffness + 1].unwrap();
    assert!(two(0) < 0.0 && 0.0 < two(1) && two(1) < two(2) && two(2) < two(3));
    // Statics speaks of three legs at most.
    assert!(found.short[2].iter().all(Option::is_none));
    println!("{} cells run, {covered} covered by two legs", found.worst.len());
}

#[test]
fn surveys_are_looked_at_and_may_be_ended() {
    let ring = Outline::ring(4);
    let two: [&dyn SharingRule; 1] = [&LegsCounted::two()];
    let refused = |axes: &[Axis]| survey(&ring, axes, &two).unwrap_err().place().to_string();
    assert_eq!(refused(&[axis(Number::Mass, &[])]), "/axes/0/values");
    assert_eq!(refused(&[axis(Number::Mass, &[1.0, f64::NAN])]), "/axes/0/values/1");
    assert_eq!(refused(&[axis(Number::Mass, &[1.0]), axis(Number::Mass, &[1.0])]), "/axes/1/number");
    assert_eq!(refused(&[axis(Number::Length { leg: 9 }, &[1.0])]), "/axes/0/number");
    let long: Vec<f64> = (1..=2000).map(f64::from).collect();
    assert_eq!(refused(&[axis(Number::Mass, &long), axis(Number::Lengths, &long)]), "/axes");
    // What is no lift has no tension; the others do.
    let found = survey(&ring, &[axis(Number::Mass, &[-1.0, 0.0, 1.0e4])], &two).unwrap();
    assert_eq!(found.worst.iter().map(Option::is_some).collect::<Vec<_>>(), [false, false, true]);
    let found = survey_while(&ring, &[axis(Number::Mass, &[1.0, 2.0, 3.0])], &two, |cell| cell < 2).unwrap();
    assert_eq!(found.worst.iter().filter(|worst| worst.is_some()).count(), 2);
    // Without an axis the outline is the one cell.
    let Survey { worst, axes, .. } = survey(&ring, &[], &two).unwrap();
    assert!(worst.len() == 1 && axes.is_empty());
}

#[test]
fn inputs_are_read_or_refused_by_their_place() {
    let lift = skid("generator-skid");
    let at = |text: &str, lift: Option<&Lift>| {
        let error = RefuteInputs::from_json(text).and_then(|inputs| inputs.domain(lift)).unwrap_err();
        (error.code().to_owned(), error.place().to_string())
    };
    let expected = |code: &str, place: &str| (code.to_owned(), place.to_owned());
    assert_eq!(at("{}", None), expected("missing", "/legs"));
    assert_eq!(at("{}", Some(&lift)), expected("missing", "/free"));
    assert_eq!(at("{\"legs\": 4}", Some(&lift)), expected("inconsistent", "/legs"));
    assert_eq!(at("{\"legs\": 9}", None), expected("out_of_domain", "/legs"));
    assert_eq!(at("{\"legs\": 4, \"lift\": 3}", None), expected("unknown_key", "/lift"));
    let free =
        |number: &str| format!("{{\"legs\": 4, \"free\": [{{\"number\": {number}, \"least\": 0, \"most\": 1}}]}}");
    assert_eq!(at(&free("\"height\""), None).1, "/free/0/number");
    assert_eq!(at(&free("{\"length\": {\"leg\": 7}}"), None), expected("out_of_domain", "/free/0/number"));
    assert_eq!(at(&free("{\"length\": {\"leg\": 1}}"), None), expected("out_of_domain", "/free/0/least"));
    let inputs = RefuteInputs::from_json("{\"legs\": 4}").unwrap();
    assert_eq!((inputs.search(), inputs.domain(None).unwrap()), (Search::default(), Domain::ring(4).unwrap()));
    let inputs = SurveyInputs::from_json("{\"axes\": [{\"number\": \"mass\", \"values\": [1, 2]}]}").unwrap();
    assert_eq!(inputs.axes, [axis(Number::Mass, &[1.0, 2.0])]);
    assert_eq!(inputs.base(Some(&lift)).unwrap(), Outline::of(&lift).unwrap());
    assert_eq!(inputs.base(None).unwrap_err().code(), "missing");
}
