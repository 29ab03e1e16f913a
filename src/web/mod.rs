//! Pages by person: phone, warehouse, officer. Nothing here yet.
