//! Timings, one file a topic: `cargo bench --bench bench -- TOPIC` runs one, without a name all.

mod air;
mod check;
mod drag;
mod fill;
mod flow;
mod hang;
#[cfg(feature = "window")]
mod line;
mod mesh;
mod parting;
mod peers;
mod release;
mod shapes;
mod sheet;
mod view;
#[cfg(feature = "window")]
mod window;

fn main() {
    let wanted: Vec<String> = std::env::args().skip(1).filter(|a| !a.starts_with('-')).collect();
    let topics: &[(&str, fn())] = &[
        ("air", air::run),
        ("check", check::run),
        ("drag", drag::run),
        ("fill", fill::run),
        ("flow", flow::run),
        ("hang", hang::run),
        #[cfg(feature = "window")]
        ("line", line::run),
        ("mesh", mesh::run),
        ("parting", parting::run),
        ("peers", peers::run),
        ("release", release::run),
        ("sheet", sheet::run),
        ("view", view::run),
        #[cfg(feature = "window")]
        ("window", window::run),
    ];
    for (name, run) in topics {
        if wanted.is_empty() || wanted.iter().any(|w| w == name) {
            run();
        }
    }
}
