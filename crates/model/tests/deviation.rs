//! When a deviation holds.

use std::collections::BTreeSet;

use chablon_model::{
    Decision, Departure, Deviation, DeviationLimits, DeviationStanding, Digest, Grant, Moment,
    RevisionRef, Text,
};
use test_case::test_case;

fn deviation(decision: Decision) -> Deviation {
    let key = "recipe/honey-biscuit".parse().unwrap();
    Deviation {
        id: "hot-oven".parse().unwrap(),
        site: "harbour".parse().unwrap(),
        based_on: RevisionRef { key, number: 1, digest: Digest([1; 32]) },
        departures: vec![Departure::Wording { step: "bake".parse().unwrap(), to: Text::default() }],
        limits: DeviationLimits::default(),
        from: Moment(100),
        until: Moment(200),
        reason: "the oven runs hot".to_owned(),
        decision,
    }
}

fn granted() -> Decision {
    Decision::Granted(Grant {
        by: "chef".to_owned(),
        at: Moment(50),
        note: None,
        allergens: BTreeSet::new(),
        critical_limits: false,
    })
}

#[test_case(99, DeviationStanding::NotYet)]
#[test_case(100, DeviationStanding::InForce; "from its first moment")]
#[test_case(199, DeviationStanding::InForce)]
#[test_case(200, DeviationStanding::Expired; "not at its last")]
fn a_granted_deviation_holds_for_its_time(at: i64, standing: DeviationStanding) {
    assert_eq!(deviation(granted()).standing(Moment(at)), standing);
}

#[test]
fn without_leave_it_never_holds() {
    assert_eq!(deviation(Decision::Asked).standing(Moment(150)), DeviationStanding::Asked);
    let refused =
        Decision::Refused { by: "chef".to_owned(), at: Moment(50), reason: "no".to_owned() };
    assert_eq!(deviation(refused).standing(Moment(150)), DeviationStanding::Refused);
}

#[test]
fn it_knows_its_recipe() {
    assert_eq!(deviation(granted()).recipe(), "honey-biscuit".parse().unwrap());
}
