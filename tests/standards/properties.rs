//! What holds for every number of children.

use super::*;

fn australian(method: &str) -> Standard {
    let bands =
        [("0", Some(24), "4"), ("2", Some(36), "5"), ("3", Some(72), "11"), ("6", None, "15")];
    inline(&bands, &format!(r#""method": "{method}""#), "")
}

/// Exhaustive: a fraction sum never asks for more than a cascade; plurality may ask for less.
#[test]
fn a_fraction_sum_never_exceeds_a_cascade() {
    let (fractions, cascade) = (australian("fraction_sum"), australian("cascade"));
    let plurality = australian("plurality");
    let (mut more, mut below) = (0, 0);
    for a in 0..=8 {
        for b in 0..=10 {
            for c in 0..=22 {
                let ages = [(a, 12), (b, 30), (c, 48)];
                let [fr, ca, ma] =
                    [&fractions, &cascade, &plurality].map(|s| need(s, &ages).adults);
                assert!(fr <= ca, "{a} {b} {c}: {fr} and {ca}");
                more += u32::from(ca > fr);
                below += u32::from(ma < fr);
            }
        }
    }
    assert_eq!(more, 516);
    assert!(below > 0, "plurality is never a safe fallback");
}

/// Every standard needs somebody for one child and nobody for none; sleepers never add.
#[test]
fn every_standard_behaves_at_the_edges() {
    for standard in fairturn::standards::library() {
        assert_eq!(standard.need(&[], &plain()), Need::default(), "{}", standard.id);
        for months in 0..160 {
            let mut one = heads(1, months);
            assert_eq!(standard.need(&one, &plain()).adults, 1, "{} {months}", standard.id);
            one[0].asleep = true;
            assert_eq!(standard.need(&one, &plain()).adults, 1, "{} {months}", standard.id);
        }
        for n in 0..30 {
            let mut children = mix(&[(n % 5, 10), (n % 7, 25), (n, 44)]);
            let awake = standard.need(&children, &plain()).adults;
            for head in children.iter_mut().step_by(2) {
                head.asleep = true;
            }
            let some = standard.need(&children, &plain());
            assert!(some.adults <= awake && some.adults <= some.in_building, "{}", standard.id);
        }
    }
}

/// The order in which children are named decides nothing.
#[test]
fn order_of_children_does_not_matter() {
    for standard in fairturn::standards::library() {
        let mut children = mix(&[(3, 8), (4, 20), (2, 30), (5, 44), (1, 70)]);
        let forward = standard.need(&children, &plain());
        children.reverse();
        assert_eq!(standard.need(&children, &plain()), forward, "{}", standard.id);
    }
}
