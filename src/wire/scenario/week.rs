//! Things that differ by weekday.

use crate::site::Weekly;
use crate::wire::limits::Limit;
use crate::wire::{At, Object, nearest};

/// The words of the file for weekdays, Monday first.
pub(super) const WEEKDAYS: [&str; 7] = ["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// A weekday as people say it, Monday 0.
pub(super) fn weekday_name(day: usize) -> &'static str {
    ["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"][day]
}

/// The weekdays in a list, or `None` where the field is left out.
pub(super) fn days(object: &Object<'_>, limit: &Limit) -> Option<Weekly<bool>> {
    let at = object.get(limit.field)?;
    let words: Vec<(&'static str, usize)> = WEEKDAYS.iter().copied().zip(0..).collect();
    let mut on = [false; 7];
    for item in at.list(limit)? {
        match item.one_of(&words) {
            Some(day) if on[day] => item.fault("this day is listed twice", "name it once"),
            Some(day) => on[day] = true,
            None => {}
        }
    }
    Some(on)
}

/// An object with weekdays as names: what `read` makes of each; `empty` where a day is not named.
pub(super) fn by_weekday<'t, T: Clone>(
    at: &At<'t>,
    limit: &Limit,
    empty: T,
    mut read: impl FnMut(&At<'t>) -> Option<T>,
) -> Option<Weekly<T>> {
    let mut week: Weekly<T> = std::array::from_fn(|_| empty.clone());
    for (name, value) in at.members(limit)? {
        match WEEKDAYS.iter().position(|day| *day == name) {
            Some(day) => week[day] = read(&value).unwrap_or_else(|| empty.clone()),
            None => {
                let near = nearest(name, WEEKDAYS);
                let mend = near.unwrap_or("mon, tue, wed, thu, fri, sat or sun");
                value.fault("this is not the name of a weekday", format!("write {mend}"));
            }
        }
    }
    Some(week)
}
