//! Being laid out.

#[cfg(test)]
mod outside;
