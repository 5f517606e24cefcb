//! What the program promises as a whole, tried from outside: one package, one test binary.
//!
//! `journeys` go the route as people do; `bad_input` gives each place the wrong thing; `simulation` runs desktops and a server
//! through bad weather from one seed; `outside` holds the parts against standards and other programs. `bench` measures and
//! never fails. [`house`] is the lab that most of them happen in.

pub mod bench;
pub mod house;

#[cfg(test)]
mod bad_input;
#[cfg(test)]
mod journeys;
#[cfg(test)]
mod outside;
#[cfg(test)]
mod simulation;
