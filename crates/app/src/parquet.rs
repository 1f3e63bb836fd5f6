//! A reconstruction as Parquet: one row a time, one column a quantity with its sigma beside it, as in the CSV; origin, notes and
//! what was found of the sensors as key-value metadata. Behind the feature `parquet`. Same value, same bytes.
//!
//! Format: Apache Parquet, <https://parquet.apache.org/docs/file-format/>; all columns required, plain doubles, snappy.

use std::borrow::Cow;
use std::sync::Arc;

use parquet::basic::{Compression, Repetition, Type as Physical};
use parquet::data_type::{BoolType, DoubleType};
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::WriterProperties;
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::{Type, TypePtr};
use wire::reconstruction::{Reconstruction, SCHEMA};

use crate::error::AppError;

/// Rows of a group: a reader that wants a minute need not unpack a day.
const GROUP_ROWS: usize = 65_536;

/// The bytes of the file.
///
/// # Errors
/// The writer failed: memory.
pub(crate) fn reconstruction(motion: &Reconstruction) -> Result<Vec<u8>, AppError> {
    written(motion).map_err(|error| AppError::Machine {
        what: format!("the Parquet file cannot be made: {error}"),
        hint: "take --format csv instead".into(),
    })
}

fn written(motion: &Reconstruction) -> Result<Vec<u8>, ParquetError> {
    let columns = motion.columns();
    let mut names = vec!["time_s".to_string()];
    names.extend(
        columns.iter().flat_map(|(name, _)| [(*name).to_string(), format!("{name}_sigma")]),
    );
    let mut values: Vec<Cow<'_, [f64]>> = vec![Cow::from(&motion.time_s)];
    for (name, column) in &columns {
        let told = column.value.iter().map(|value| Reconstruction::in_tables(name, *value));
        values.extend([Cow::Owned(told.collect()), Cow::from(&column.sigma)]);
    }
    let properties = WriterProperties::builder()
        .set_compression(Compression::SNAPPY)
        .set_created_by(format!("skychalk {}", env!("CARGO_PKG_VERSION")))
        .set_key_value_metadata(Some(metadata(motion)))
        .build();
    let mut file = SerializedFileWriter::new(Vec::new(), schema(&names)?, Arc::new(properties))?;
    for first in (0..motion.time_s.len()).step_by(GROUP_ROWS) {
        let rows = first..(first + GROUP_ROWS).min(motion.time_s.len());
        let mut group = file.next_row_group()?;
        for column in &values {
            let mut writer = group.next_column()?.expect("the schema has a column for each list");
            writer.typed::<DoubleType>().write_batch(&column[rows.clone()], None, None)?;
            writer.close()?;
        }
        let mut writer = group.next_column()?.expect("the schema ends with airborne");
        writer.typed::<BoolType>().write_batch(&motion.airborne[rows], None, None)?;
        writer.close()?;
        group.close()?;
    }
    file.into_inner()
}

/// All quantities, then whether the airplane was flying.
fn schema(names: &[String]) -> Result<TypePtr, ParquetError> {
    let field = |name: &str, physical| {
        let made = Type::primitive_type_builder(name, physical);
        made.with_repetition(Repetition::REQUIRED).build().map(Arc::new)
    };
    let mut fields =
        names.iter().map(|name| field(name, Physical::DOUBLE)).collect::<Result<Vec<_>, _>>()?;
    fields.push(field("airborne", Physical::BOOLEAN)?);
    Type::group_type_builder("reconstruction").with_fields(fields).build().map(Arc::new)
}

fn metadata(motion: &Reconstruction) -> Vec<KeyValue> {
    let mut pairs = vec![
        ("schema", SCHEMA.to_string()),
        ("recording", motion.recording.file.clone()),
        ("notes", motion.notes.join("\n")),
    ];
    if let Some(start) = &motion.recording.start {
        pairs.push(("start", start.clone()));
    }
    if let Some(origin) = &motion.origin {
        pairs.push(("origin_latitude_deg", origin.latitude_deg.to_string()));
        pairs.push(("origin_longitude_deg", origin.longitude_deg.to_string()));
    }
    let offset = |one: &wire::reconstruction::OffsetOut| {
        format!("{}, {}: {} {} (sigma {})", one.sensor, one.what, one.value, one.unit, one.sigma)
    };
    let offsets: Vec<String> = motion.offsets.iter().map(offset).collect();
    pairs.push(("offsets", offsets.join("\n")));
    pairs.into_iter().map(|(key, value)| KeyValue::new(format!("skychalk.{key}"), value)).collect()
}
