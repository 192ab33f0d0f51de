//! Every integration test, in one binary.
mod audits;
mod bad_input;
mod broken;
mod faces;
mod goldens;
mod groups;
mod invented;
mod opening;
mod posts;
mod properties;
mod recount;
mod repair;
mod scenarios;
mod solve;
mod standards;
mod tidy;
mod why;
