//! General methods against textbooks, brute force and closed forms.

mod cells;
mod join_tree;
mod level_cut;
mod level_volume;
mod march;
mod min_cut;
mod taut;
pub mod shapes;
