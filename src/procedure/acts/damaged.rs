//! The way out and back after a red flag: what the watch, the release and the approach must show.

use super::ruling::Rules;
use crate::citation::Reason;
use crate::procedure::Evidence;
use crate::units::Decimal;

impl Rules<'_> {
    /// X06: the hours are those between start and end, and not fewer than the site's own. A
    /// clock alone never releases: quiet and temperatures are asked beside it.
    pub(super) fn watch(&mut self) {
        let evidence = self.evidence();
        let (Some(start), Some(end)) = (evidence.time("started_at"), evidence.time("ended_at"))
        else {
            return;
        };
        let hours = self.frame.setting("hold_hours");
        let needed = hours
            .thousandths()
            .map_or(i64::MAX, |hours| hours.saturating_mul(36) / 10);
        let watched = end.seconds_since(start);
        if watched < needed {
            self.fail(
                Reason::new(self.what("hours of watch"), format!("{} h {} min", watched / 3600, watched % 3600 / 60))
                    .limit(format!("{hours} h from start to end, quiet all the time"))
                    .clause("delays of hours to weeks were seen (crash tests of 2011, second-hand); the figure is a project default, not law")
                    .way_out("go on watching; any heat, sound or vapour starts the clock again"),
            );
        }
        if let Some(claimed) = evidence.number("hours").and_then(Decimal::thousandths)
            && claimed.saturating_mul(36) / 10 > watched.saturating_add(60)
        {
            self.fail(
                Reason::new(
                    self.what("hours"),
                    Decimal::from_thousandths(claimed).to_string(),
                )
                .limit(format!("{} min between start and end", watched / 60))
                .way_out("write down the true times"),
            );
        }
    }

    /// X17: at least the stand-off to what burns, or a wall between.
    pub(super) fn near_what_burns(&mut self) {
        if self.step.spec("stand_off_m").is_none() || self.step.spec("barrier").is_none() {
            return;
        }
        let evidence = self.evidence();
        let least = self.frame.setting("stand_off_m");
        let far = evidence
            .number("stand_off_m")
            .is_some_and(|metres| metres >= least);
        if !far && evidence.text("barrier").is_none() {
            let found = evidence
                .number("stand_off_m")
                .map_or("not known".to_owned(), |metres| format!("{metres} m"));
            self.fail(
                Reason::new(self.what("stand_off_m"), found)
                    .limit(format!("{least} m to anything that burns, or a barrier"))
                    .clause("setting stand_off_m (50 ft to open sides, Washington Senate bill report 5909; not law here)")
                    .way_out("move it further off, or put it behind a wall and name it"),
            );
        }
    }

    /// X05 and X08: "not attended" only where no sign was ever noticed; three looks, apart, not
    /// rising.
    pub(super) fn way_back(&mut self) {
        let evidence = self.evidence();
        if evidence.yes_no("attended") == Some(false)
            && evidence.yes_no("sign_ever_noticed") != Some(false)
        {
            self.fail(
                Reason::new(
                    self.what("fire service"),
                    "not attended, though a sign was noticed or nobody knows",
                )
                .limit("a written release wherever smoke, vapour, heat or sound was ever noticed")
                .clause("rule X05 of the procedure")
                .way_out("call the fire service and wait for its release"),
            );
        }
        if evidence.answer("temperatures").is_some() {
            self.looks("temperatures");
        }
    }

    fn looks(&mut self, table: &str) {
        let rows: Vec<&Evidence> = self.evidence().rows(table);
        let wanted = self.frame.whole_setting("approach_looks");
        let apart = self.frame.whole_setting("approach_interval_min");
        if i64::try_from(rows.len()).unwrap_or(i64::MAX) < wanted {
            self.fail(
                Reason::new(self.what(table), format!("{} looks", rows.len()))
                    .limit(format!("{wanted} looks, {apart} min apart"))
                    .clause("rule X08 of the procedure (project default, not law)")
                    .way_out("look again"),
            );
        }
        for pair in rows.windows(2) {
            let [earlier, later] = pair else { continue };
            let times = (earlier.time("taken_at"), later.time("taken_at"));
            if let (Some(a), Some(b)) = times
                && b.seconds_since(a) < apart * 60
            {
                self.fail(
                    Reason::new(
                        self.what(table),
                        format!("{} min between two looks", b.seconds_since(a) / 60),
                    )
                    .limit(format!("{apart} min"))
                    .clause("rule X08 of the procedure (project default, not law)")
                    .way_out("wait, then look again"),
                );
            }
        }
        let rises = |rows: &[&Evidence]| -> Option<Vec<i64>> {
            rows.iter()
                .map(|row| {
                    let face = row.number("face_temperature_c")?.thousandths()?;
                    let air = row.number("ambient_temperature_c")?.thousandths()?;
                    Some(face.saturating_sub(air))
                })
                .collect()
        };
        if let Some(rises) = rises(&rows)
            && rises.len() > 1
            && rises.windows(2).all(|pair| matches!(pair, [a, b] if b > a))
        {
            self.fail(
                Reason::new(self.what(table), "each look is warmer than the one before")
                    .limit("not rising from look to look")
                    .clause("rule X08 of the procedure (project default, not law)")
                    .way_out("back out; X06 starts again"),
            );
        }
    }
}
