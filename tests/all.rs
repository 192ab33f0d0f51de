//! Every integration test, in one binary.
mod audits;
mod bad_input;
mod faces;
mod groups;
mod standards;
mod recount;
mod tidy;
