//! The JSON Schemas of the documents, and the list of them. The committed copies are in `docs/reference/`.

use schemars::JsonSchema;
use serde_json::Value;

/// One schema: name of its file and the function that makes it.
pub type Entry = (&'static str, fn() -> Value);

/// Every schema.
pub const ALL: &[Entry] = &[
    ("brief.schema.json", || make::<crate::brief::Brief>("brief", crate::brief::SCHEMA)),
    ("patter.schema.json", || make::<crate::patter::Patter>("patter", crate::patter::SCHEMA)),
    ("practice.schema.json", || {
        make::<crate::practice::Practice>("practice", crate::practice::SCHEMA)
    }),
    ("debrief.schema.json", || make::<crate::debrief::Debrief>("debrief", crate::debrief::SCHEMA)),
    ("debriefs.schema.json", || {
        make::<crate::debrief::Debriefs>("debriefs", crate::debrief::MANY_SCHEMA)
    }),
    ("find.schema.json", || make::<crate::debrief::Find>("find", crate::debrief::FIND_SCHEMA)),
    ("flight.schema.json", || make::<crate::flight::Flight>("flight", crate::flight::SCHEMA)),
    ("maneuver.schema.json", || {
        make::<crate::maneuver_list::ManeuverList>("maneuver", crate::maneuver_list::SCHEMA)
    }),
    ("airplane.schema.json", || {
        make::<crate::airplane_list::AirplaneList>("airplane", crate::airplane_list::SCHEMA)
    }),
    ("airplane-sheet.schema.json", || {
        make::<crate::airplane_sheet::AirplaneSheet>(
            "airplane-sheet",
            crate::airplane_sheet::SCHEMA,
        )
    }),
    ("airplane-build.schema.json", || {
        make::<crate::airplane_build::AirplaneBuild>(
            "airplane-build",
            crate::airplane_build::SCHEMA,
        )
    }),
    ("airplane-balance.schema.json", || {
        make::<crate::airplane_balance::AirplaneBalance>(
            "airplane-balance",
            crate::airplane_balance::SCHEMA,
        )
    }),
    ("airplane-fit.schema.json", || {
        make::<crate::airplane_fit::AirplaneFit>("airplane-fit", crate::airplane_fit::SCHEMA)
    }),
    ("questions.schema.json", || {
        make::<crate::question_list::QuestionList>("questions", crate::question_list::SCHEMA)
    }),
    ("standard.schema.json", || {
        make::<crate::standard_list::StandardList>("standard", crate::standard_list::SCHEMA)
    }),
    ("reconstruction.schema.json", || {
        make::<crate::reconstruction::Reconstruction>(
            "reconstruction",
            crate::reconstruction::SCHEMA,
        )
    }),
    ("recording.schema.json", || {
        make::<crate::recording_sheet::RecordingSheet>("recording", crate::recording_sheet::SCHEMA)
    }),
    ("validate.schema.json", || {
        make::<crate::validation::Validation>("validate", crate::validation::SCHEMA)
    }),
    ("error.schema.json", || make::<crate::error::Failure>("error", crate::error::SCHEMA)),
];

fn make<T: JsonSchema>(name: &str, document: &str) -> Value {
    let settings = schemars::generate::SchemaSettings::draft2020_12().for_serialize();
    let mut schema = settings.into_generator().into_root_schema_for::<T>().to_value();
    let members = schema.as_object_mut().expect("the schema of a struct is an object");
    members.insert("$id".into(), format!("urn:skychalk:schema:{name}:1").into());
    members.insert("title".into(), document.into());
    schema["properties"]["schema"]["const"] = document.into();
    schema
}
