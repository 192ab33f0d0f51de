//! What is thinned out in a very large room.

use fairturn::site::Minute;
use fairturn::solve::few::{is_kept, starts};

#[test]
fn what_is_kept_is_spread_evenly_and_no_more_than_may_be() {
    for (all, most) in [(10, 20), (20, 20), (21, 20), (100, 8), (288, 11), (97, 13)] {
        let kept: Vec<usize> = (0..all).filter(|at| is_kept(*at, all, most)).collect();
        assert_eq!(kept.len(), all.min(most), "{all} to {most}");
        assert_eq!(kept[0], 0);
        let wide = all.div_ceil(most);
        assert!(kept.windows(2).all(|pair| pair[1] - pair[0] <= wide), "{kept:?}");
    }
    let all: Vec<Minute> = (0..40).map(Minute).collect();
    let few = starts(all, 8, Some(Minute(39)));
    assert_eq!(few.len(), 9);
    assert_eq!(few.last(), Some(&Minute(39)));
}
