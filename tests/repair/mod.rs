//! The rest of a day repaired after something has happened.

mod at_once;
mod away;
mod back_again;
mod chance;
mod command;
mod counter;
mod fixes;
mod goldens;
mod late_parent;
mod many;
mod meals;
mod mornings;
mod moved_breaks;
mod outdoors;
mod put_together;
mod rows;
mod safest;
mod said;
mod taking;
mod threes;
mod tiny;
mod tiny_cots;
mod tiny_fixes;
mod tiny_floor;
mod tiny_meal;
