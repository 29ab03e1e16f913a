//! Looks over a joined procedure for what its form cannot say: that names exist, that every limit
//! says where it is written, that somebody may do each step.

use std::collections::BTreeSet;

use crate::procedure::{
    EvidenceKind, EvidenceSpec, Limit, Need, Procedure, ProcedureError, Settings, Step,
};

/// The first thing that is wrong.
pub(super) fn look_over(procedure: &Procedure) -> Result<(), ProcedureError> {
    let ids: BTreeSet<&str> = procedure
        .steps
        .iter()
        .map(|step| step.id.as_str())
        .collect();
    let settings = Settings::shipped()?;
    for step in &procedure.steps {
        let is_id_byte = |byte: u8| byte.is_ascii_alphanumeric() || byte == b'-';
        if step.id.is_empty() || !step.id.bytes().all(is_id_byte) {
            return Err(ProcedureError::StepId(step.id.clone()));
        }
        if step.does.is_empty() || step.does.chars().any(char::is_control) {
            return Err(ProcedureError::StepWords(step.id.clone()));
        }
        if step.role.is_empty() {
            return Err(ProcedureError::EmptyRole(step.id.clone()));
        }
        for other in step.needs.iter().flat_map(Need::ids) {
            if !ids.contains(other) {
                return Err(ProcedureError::UnknownStep {
                    step: step.id.clone(),
                    other: other.to_owned(),
                });
            }
        }
        let look = Look {
            procedure,
            settings: &settings,
            step,
        };
        look.evidence(&step.evidence)?;
    }
    Ok(())
}

struct Look<'a> {
    procedure: &'a Procedure,
    settings: &'a Settings,
    step: &'a Step,
}

impl Look<'_> {
    fn evidence(&self, specs: &[EvidenceSpec]) -> Result<(), ProcedureError> {
        let mut seen = BTreeSet::new();
        for spec in specs {
            if !seen.insert(spec.name.as_str()) {
                return Err(ProcedureError::RepeatedEvidence {
                    step: self.step.id.clone(),
                    evidence: spec.name.clone(),
                });
            }
            if spec.kind == EvidenceKind::Table && spec.columns.is_empty() {
                return Err(ProcedureError::TableWithoutColumns {
                    step: self.step.id.clone(),
                    evidence: spec.name.clone(),
                });
            }
            for limit in &spec.limits {
                self.limit(spec, specs, limit)?;
            }
            self.evidence(&spec.columns)?;
        }
        Ok(())
    }

    fn limit(
        &self,
        spec: &EvidenceSpec,
        beside: &[EvidenceSpec],
        limit: &Limit,
    ) -> Result<(), ProcedureError> {
        let missing = match (limit.clause.is_empty(), limit.known) {
            (true, _) => Some("clause"),
            (false, None) => Some("known"),
            (false, Some(_)) => None,
        };
        if let Some(field) = missing {
            return Err(ProcedureError::LimitWithoutClause {
                step: self.step.id.clone(),
                evidence: spec.name.clone(),
                field,
            });
        }
        let named = [
            limit.at_most_setting.as_ref(),
            limit.at_least_setting.as_ref(),
            limit.magnitude_at_most_setting.as_ref(),
            limit.above.as_ref().map(|above| &above.setting),
        ];
        for setting in named.into_iter().flatten() {
            if self.settings.get(setting).is_none() {
                return Err(ProcedureError::UnknownSetting {
                    step: self.step.id.clone(),
                    evidence: spec.name.clone(),
                    setting: setting.clone(),
                });
            }
        }
        if let Some(above) = &limit.above
            && !beside.iter().any(|other| other.name == above.of)
        {
            return Err(self.unknown_answer(spec, &above.of));
        }
        if let Some(same) = &limit.same_as {
            let is_asked = same.split_once('.').is_some_and(|(step, name)| {
                self.procedure
                    .step(step)
                    .is_some_and(|step| step.spec(name).is_some())
            });
            if !is_asked {
                return Err(self.unknown_answer(spec, same));
            }
        }
        Ok(())
    }

    fn unknown_answer(&self, spec: &EvidenceSpec, other: &str) -> ProcedureError {
        ProcedureError::UnknownAnswer {
            step: self.step.id.clone(),
            evidence: spec.name.clone(),
            other: other.to_owned(),
        }
    }
}
