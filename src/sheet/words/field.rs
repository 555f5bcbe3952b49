//! Fields of the title block (ISO 7200:2004).

/// Legal owner.
pub const OWNER: &str = "Owner";
/// Title.
pub const TITLE: &str = "Title";
/// Identification number.
pub const NUMBER: &str = "Job number";
/// Document type.
pub const TYPE: &str = "Document type";
/// Revision index.
pub const REVISION: &str = "Revision";
/// Date of issue.
pub const DATE: &str = "Date of issue";
/// Creator.
pub const CREATOR: &str = "Made by";
/// Approval person.
pub const APPROVAL: &str = "Approved by";
/// Stage.
pub const STAGE: &str = "Stage";
/// Language.
pub const LANGUAGE: &str = "Language";
/// Parts.
pub const PARTS: &str = "Part";
