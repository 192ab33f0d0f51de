//! Every integration test, in one binary.
mod audits;
mod bad_input;
mod faces;
mod groups;
mod recount;
mod posts;
mod standards;
mod tidy;
