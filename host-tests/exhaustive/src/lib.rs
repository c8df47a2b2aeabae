//! Searches every state of the engine (`handback::Engine`, the code that is shipped) in small scopes: 1 and 2 axes, each
//! input at the few values around every threshold, each duration of 1 to 3 microseconds.
//!
//! - A [`Scope`](scope::Scope) is a policy and the inputs that any step may bring.
//! - A [`Node`] is a state: the engine, and the monitor of the contract. Both are brought to a normal form, in which
//!   times count from the last step.
//! - [`search`](search::search) goes through all states, breadth first, and takes every input in each. The monitor judges
//!   every step. In every state the [`promises`](promise) are tried: what must follow within a bounded number of steps.
//!
//! The result of a search that finds something is a [`Path`](path::Path): a shortest way to a state, and the step that
//! breaks a rule there, or the steps of the promise that is broken.
#![forbid(unsafe_code)]

mod fingerprint;
mod node;
pub mod path;
pub mod promise;
pub mod reached;
pub mod scope;
pub mod search;

pub use node::{Input, Node};
