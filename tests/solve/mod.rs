//! General methods against textbooks, brute force and closed forms.

mod cells;
mod march;
mod min_cut;
pub mod shapes;
mod taut;
