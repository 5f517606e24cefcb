//! Who is asking, and what that lets them see.
//!
//! A scope is a value that only this module can make, from a credential that was checked. Every method of the store that
//! touches a lab's data takes one, so a lab or shop id in a request can never widen what is shown.

pub mod cookie;
pub mod credential;
pub mod csrf;
pub mod password;
pub mod rate;
pub mod scope;
pub mod session;
pub mod token;

pub use scope::{LabScope, ShopScope};
