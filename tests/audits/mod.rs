//! What each rule's audit says of charts drawn by hand.

mod build;
