//! Cautions; `None` where one has no place on its own line of work.

/// Before anything is opened.
pub const SHEETS: &str =
    "Read the safety data sheet of every component and follow it: hazards, first aid, protection, disposal";
/// Rubber.
pub const SILICONE: &str = "Addition-cure silicone stays sticky against sulphur, tin salts, amines, some clays, tapes, gloves and fresh prints: make a small trial on the real master first. Component B can give off hydrogen with alkalis: keep it clean and vented.";
/// Vacuum.
pub const VACUUM: &str = "Vacuum: only a vessel built for it, inspected and guarded, with no cracked or scratched plastic or glass. Wear eye protection. Let air in slowly. Lead the pump's exhaust away. Sealed or hollow things can burst in the chamber.";
/// Blade.
pub const BLADE: &str =
    "Blade: cut away from the hand that holds the block, wear a cut-resistant glove, keep used blades in a sharps box";
/// Resin.
pub const ISOCYANATE: &str = "Isocyanates can make lungs and skin allergic for good, by skin contact too; a person who is sensitised must not be exposed again. Trained people only. Extraction, gloves, eye protection, no food; heat and spray raise exposure.";
/// Moisture.
pub const MOISTURE: &str = "Moist resin foams: never close a container of mixed or wet resin";
/// Heat of reaction.
pub const EXOTHERM: &str = "A pot of unused mix can overheat and fume: spread it out and leave it under extraction";
/// Oven.
pub const OVEN: &str = "Oven: rated, extracted, with an over-temperature cut-out; no flammable release agent or solvent left to evaporate. The block is hot and heavy: gloves, and two hands or two people.";
/// Dust.
pub const DUST: &str = "Sand and cut only what is fully cured, with dust extraction and a mask. Hot cutting or burning sets free isocyanate and cyanide fumes.";
/// Over the bond of two shots.
pub const BOND: &str = "No release agent, wax or bare fingers on the contact area of the hard cast: the soft part bonds there and nowhere else";
/// Pressure.
pub const PRESSURE: &str = "A pressure pot is a pressure vessel: national rules for such vessels apply";
/// The closing line.
pub const CLOSING: &str = "Local codes, the safety data sheets, the workplace's own assessment and licensed or competent persons decide; this sheet does not replace them";

/// All of them in the order of the bench, the closing line last.
pub const ALL: [&str; 11] =
    [SHEETS, SILICONE, VACUUM, BLADE, ISOCYANATE, MOISTURE, EXOTHERM, OVEN, DUST, PRESSURE, CLOSING];
