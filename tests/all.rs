//! Every integration test, in one binary.
