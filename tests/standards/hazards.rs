//! Cautions about materials, and two measures to check at the table.

use fairturn::site::Hazard;
use fairturn::standards::Tag;
use fairturn::standards::hazards::{HAZARDS, caution};
use fairturn::standards::measures::{Shape, hot_liquid, small_parts};

#[test]
fn every_hazard_has_a_caution_with_its_source() {
    for hazard in HAZARDS {
        let caution = caution(hazard);
        assert_eq!(caution.hazard, hazard);
        assert!(caution.words.ends_with('.') && !caution.source.document.is_empty());
    }
}

/// CFOC 6.4.1.2, 6.4.1.5, 3.4.6.1, 5.2.1.4 (verified); swelling beads: a caution of ours.
#[test]
fn ages_are_those_of_the_sources() {
    let barred = |h| caution(h).barred_under_months;
    assert_eq!(barred(Hazard::SmallParts), Some(36));
    assert_eq!(barred(Hazard::Magnets), Some(36));
    assert_eq!(barred(Hazard::Cords), Some(36));
    assert_eq!(barred(Hazard::AbsorbentPolymer), Some(72));
    assert_eq!(barred(Hazard::Latex), Some(96));
    assert_eq!(barred(Hazard::Water), None);
    assert_eq!(caution(Hazard::SmallParts).closed_while_awake_under, Some(36));
    assert_eq!(caution(Hazard::Cords).closed_while_awake_under, None);
    assert_eq!(caution(Hazard::Sharp).source.tag, Tag::CommonPractice);
    assert_eq!(caution(Hazard::AbsorbentPolymer).source.tag, Tag::Derived);
}

/// 16 CFR 1501.4 and CFOC 6.4.1.2.
#[test]
fn small_parts_and_balls() {
    let small = |shape| small_parts().is_small(shape);
    assert!(small(Shape::Disc { across: 3000, thick: 2000 }));
    assert!(!small(Shape::Brick(3500, 3500, 3500)));
    assert!(small(Shape::Ball { across: 4400 }));
    assert!(!small(Shape::Ball { across: 4500 }));
    assert!(small(Shape::Ball { across: 4445 }), "exactly 1.75 in: the stricter reading");
    assert!(small(Shape::Brick(5000, 1000, 1000)), "a stick goes in end first");
    assert!(small(Shape::Brick(1000, 5000, 1000)));
    assert!(!small(Shape::Brick(6000, 1000, 1000)), "longer than the cylinder is deep");
    assert!(small(Shape::Brick(200, 6000, 200)), "a thin one goes in slanting: 54.4 + 0.9 mm deep");
    assert!(small(Shape::Disc { across: 200, thick: 6000 }), "a round one too");
    assert!(!small(Shape::Brick(200, 6600, 200)), "longer than the slant of 65.4 mm");
    assert!(!small(Shape::Brick(200, 3500, 6000)), "a plate that is too wide");
    assert!(!small(Shape::Disc { across: 3176, thick: 100 }));
}

/// CFOC 4.5.0.9: burn times, and nothing above 120 F where children are; at 120 F it gives 5 minutes and
/// 5.2.1.14 gives 2: the shorter.
#[test]
fn hot_liquids_burn_fast() {
    let seconds = |f| hot_liquid().seconds_to_burn(f);
    assert_eq!([156, 149, 140, 133, 120].map(seconds), [1, 2, 5, 15, 120].map(Some));
    assert_eq!(seconds(119), None);
    assert_eq!(seconds(135), Some(5), "between two rows the hotter one");
    assert_eq!(seconds(200), Some(1));
    assert!(hot_liquid().may_stand(120) && !hot_liquid().may_stand(121));
}
