//! General methods against textbooks, brute force and closed forms.

mod min_cut;
