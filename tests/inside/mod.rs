//! What works inside a room, held to examples.

mod erase;
mod fault;
mod few;
mod labels;
mod lines;
mod media;
mod pretty;
mod settings;
mod spelling;
mod time;
