//! Application identifiers: what each begins, how long its value is, what it must stand beside.
//!
//! Facts from the GS1 Syntax Dictionary, commit 0344bf48 (Apache-2.0), read. Left
//! out: the checks of money, banks, countries, coordinates, coupons and the letters check of 8013,
//! which no battery label carries; such a value is only measured.

/// One identifier, or a run of them.
#[derive(Debug)]
pub(super) struct Identifier {
    first: &'static str,
    last: &'static str,
    /// Whether its value has a set length and needs no separator.
    pub(super) fixed: bool,
    /// Parts of the value with one blank between: character set (`N` digits, `X` set 82, `Y` set
    /// 39, `Z` base64url), length as `6`, `..20` or, where it may be absent, `0..17`, and a check:
    /// `c` check digit, `d` date whose day may be 00, `D` date, `t` hour and minute, `f` 0 or 1,
    /// `z` zero, `h` hyphen, `p` percent-coded, `a` two capital letters.
    parts: &'static str,
    /// Sets with `;` between; one of each set must be there, `n` is any digit.
    pub(super) needs: &'static str,
    /// None of these may be there.
    pub(super) excludes: &'static str,
    /// Keys of a Digital Link: the qualifiers in their order, other orders behind `/`.
    pub(super) qualifiers: Option<&'static str>,
    /// Its title in the standard.
    pub(super) title: &'static str,
}

/// One part of a value.
#[derive(Debug, Clone, Copy)]
pub(super) struct Part {
    /// `N`, `X`, `Y` or `Z`.
    pub(super) set: char,
    /// Fewest characters.
    pub(super) least: usize,
    /// Most characters.
    pub(super) most: usize,
    /// What else is checked.
    pub(super) check: Option<char>,
}

impl Identifier {
    /// The identifier `ai`.
    pub(super) fn find(ai: &str) -> Option<&'static Self> {
        IDENTIFIERS
            .iter()
            .find(|row| ai.len() == row.first.len() && row.first <= ai && ai <= row.last)
    }

    /// The identifier that `text` begins with, and its digits. No identifier begins another.
    pub(super) fn at_start(text: &str) -> Option<(&str, &'static Self)> {
        (2..=4)
            .filter_map(|digits| text.get(..digits))
            .find_map(|ai| Self::find(ai).map(|row| (ai, row)))
    }

    /// Parts of the value.
    pub(super) fn parts(&self) -> impl Iterator<Item = Part> {
        self.parts.split(' ').filter_map(|text| {
            let mut signs = text.chars();
            let set = signs.next()?;
            let check = signs
                .clone()
                .next_back()
                .filter(|sign| sign.is_ascii_alphabetic());
            let length = signs.as_str().trim_end_matches(|sign| Some(sign) == check);
            let (least, most) = match length.split_once("..") {
                None => (length.parse().ok()?, length.parse().ok()?),
                Some(("", most)) => (1, most.parse().ok()?),
                Some((least, most)) => (least.parse().ok()?, most.parse().ok()?),
            };
            Some(Part {
                set,
                least,
                most,
                check,
            })
        })
    }

    /// Most characters of the value.
    pub(super) fn longest(&self) -> usize {
        self.parts().map(|part| part.most).sum()
    }
}

const FIXED: bool = true;
const OPEN: bool = false;

#[expect(
    clippy::too_many_arguments,
    reason = "one row of a table, in its columns"
)]
const fn row(
    first: &'static str,
    last: &'static str,
    fixed: bool,
    parts: &'static str,
    needs: &'static str,
    excludes: &'static str,
    qualifiers: Option<&'static str>,
    title: &'static str,
) -> Identifier {
    Identifier {
        first,
        last,
        fixed,
        parts,
        needs,
        excludes,
        qualifiers,
        title,
    }
}

#[rustfmt::skip]
static IDENTIFIERS: [Identifier; 175] = [
    row("00", "00", FIXED, "N18c", "", "", Some(""), "SSCC"),
    row("01", "01", FIXED, "N14c", "", "02,255,37", Some("22,10,21/235"), "GTIN"),
    row("02", "02", FIXED, "N14c", "37", "", None, "CONTENT"),
    row("10", "10", OPEN, "X..20", "01,02,8006,8026", "", None, "BATCH/LOT"),
    row("11", "11", FIXED, "N6d", "01,02,8006,8026", "", None, "PROD DATE"),
    row("12", "12", FIXED, "N6d", "8020", "", None, "DUE DATE"),
    row("13", "13", FIXED, "N6d", "01,02,8006,8026", "", None, "PACK DATE"),
    row("15", "15", FIXED, "N6d", "01,02,8006,8026", "", None, "BEST BEFORE"),
    row("16", "16", FIXED, "N6d", "01,02,8006,8026", "", None, "SELL BY"),
    row("17", "17", FIXED, "N6d", "01,02,255,8006,8026", "", None, "EXPIRY"),
    row("20", "20", FIXED, "N2", "01,02,8006,8026", "", None, "VARIANT"),
    row("21", "21", OPEN, "X..20", "01,8006", "235", None, "SERIAL"),
    row("22", "22", OPEN, "X..20", "01", "", None, "CPV"),
    row("235", "235", OPEN, "X..28", "01", "", None, "TPX"),
    row("240", "240", OPEN, "X..30", "01,02,8006,8026", "", None, "ADDITIONAL ID"),
    row("241", "241", OPEN, "X..30", "01,02,8006,8026", "", None, "CUST. PART No."),
    row("242", "242", OPEN, "N..6", "01,02,8006,8026", "", None, "MTO VARIANT"),
    row("243", "243", OPEN, "X..20", "01", "", None, "PCN"),
    row("250", "250", OPEN, "X..30", "01,8006;21", "", None, "SECONDARY SERIAL"),
    row("251", "251", OPEN, "X..30", "01,8006", "", None, "REF. TO SOURCE"),
    row("253", "253", OPEN, "N13c X0..17", "", "", Some(""), "GDTI"),
    row("254", "254", OPEN, "X..20", "414", "", None, "GLN EXTENSION"),
    row("255", "255", OPEN, "N13c N0..12", "", "01,02,415,8006,8020,8026", Some(""), "GCN"),
    row("30", "30", OPEN, "N..8", "01,02", "", None, "VAR. COUNT"),
    row("3100", "3105", FIXED, "N6", "01,02", "310n", None, "MEASURE"),
    row("3110", "3115", FIXED, "N6", "01,02", "311n", None, "MEASURE"),
    row("3120", "3125", FIXED, "N6", "01,02", "312n", None, "MEASURE"),
    row("3130", "3135", FIXED, "N6", "01,02", "313n", None, "MEASURE"),
    row("3140", "3145", FIXED, "N6", "01,02", "314n", None, "MEASURE"),
    row("3150", "3155", FIXED, "N6", "01,02", "315n", None, "MEASURE"),
    row("3160", "3165", FIXED, "N6", "01,02", "316n", None, "MEASURE"),
    row("3200", "3205", FIXED, "N6", "01,02", "320n", None, "MEASURE"),
    row("3210", "3215", FIXED, "N6", "01,02", "321n", None, "MEASURE"),
    row("3220", "3225", FIXED, "N6", "01,02", "322n", None, "MEASURE"),
    row("3230", "3235", FIXED, "N6", "01,02", "323n", None, "MEASURE"),
    row("3240", "3245", FIXED, "N6", "01,02", "324n", None, "MEASURE"),
    row("3250", "3255", FIXED, "N6", "01,02", "325n", None, "MEASURE"),
    row("3260", "3265", FIXED, "N6", "01,02", "326n", None, "MEASURE"),
    row("3270", "3275", FIXED, "N6", "01,02", "327n", None, "MEASURE"),
    row("3280", "3285", FIXED, "N6", "01,02", "328n", None, "MEASURE"),
    row("3290", "3295", FIXED, "N6", "01,02", "329n", None, "MEASURE"),
    row("3300", "3305", FIXED, "N6", "00,01", "330n", None, "MEASURE, GROSS"),
    row("3310", "3315", FIXED, "N6", "00,01", "331n", None, "MEASURE, GROSS"),
    row("3320", "3325", FIXED, "N6", "00,01", "332n", None, "MEASURE, GROSS"),
    row("3330", "3335", FIXED, "N6", "00,01", "333n", None, "MEASURE, GROSS"),
    row("3340", "3345", FIXED, "N6", "00,01", "334n", None, "MEASURE, GROSS"),
    row("3350", "3355", FIXED, "N6", "00,01", "335n", None, "MEASURE, GROSS"),
    row("3360", "3365", FIXED, "N6", "00,01", "336n", None, "MEASURE, GROSS"),
    row("3370", "3375", FIXED, "N6", "01", "337n", None, "KG PER m2"),
    row("3400", "3405", FIXED, "N6", "00,01", "340n", None, "MEASURE, GROSS"),
    row("3410", "3415", FIXED, "N6", "00,01", "341n", None, "MEASURE, GROSS"),
    row("3420", "3425", FIXED, "N6", "00,01", "342n", None, "MEASURE, GROSS"),
    row("3430", "3435", FIXED, "N6", "00,01", "343n", None, "MEASURE, GROSS"),
    row("3440", "3445", FIXED, "N6", "00,01", "344n", None, "MEASURE, GROSS"),
    row("3450", "3455", FIXED, "N6", "00,01", "345n", None, "MEASURE, GROSS"),
    row("3460", "3465", FIXED, "N6", "00,01", "346n", None, "MEASURE, GROSS"),
    row("3470", "3475", FIXED, "N6", "00,01", "347n", None, "MEASURE, GROSS"),
    row("3480", "3485", FIXED, "N6", "00,01", "348n", None, "MEASURE, GROSS"),
    row("3490", "3495", FIXED, "N6", "00,01", "349n", None, "MEASURE, GROSS"),
    row("3500", "3505", FIXED, "N6", "01,02", "350n", None, "MEASURE"),
    row("3510", "3515", FIXED, "N6", "01,02", "351n", None, "MEASURE"),
    row("3520", "3525", FIXED, "N6", "01,02", "352n", None, "MEASURE"),
    row("3530", "3535", FIXED, "N6", "00,01", "353n", None, "MEASURE, GROSS"),
    row("3540", "3545", FIXED, "N6", "00,01", "354n", None, "MEASURE, GROSS"),
    row("3550", "3555", FIXED, "N6", "00,01", "355n", None, "MEASURE, GROSS"),
    row("3560", "3565", FIXED, "N6", "01,02", "356n", None, "MEASURE"),
    row("3570", "3575", FIXED, "N6", "01,02", "357n", None, "MEASURE"),
    row("3600", "3605", FIXED, "N6", "01,02", "360n", None, "MEASURE"),
    row("3610", "3615", FIXED, "N6", "01,02", "361n", None, "MEASURE"),
    row("3620", "3625", FIXED, "N6", "00,01", "362n", None, "MEASURE, GROSS"),
    row("3630", "3635", FIXED, "N6", "00,01", "363n", None, "MEASURE, GROSS"),
    row("3640", "3645", FIXED, "N6", "01,02", "364n", None, "MEASURE"),
    row("3650", "3655", FIXED, "N6", "01,02", "365n", None, "MEASURE"),
    row("3660", "3665", FIXED, "N6", "01,02", "366n", None, "MEASURE"),
    row("3670", "3675", FIXED, "N6", "00,01", "367n", None, "MEASURE, GROSS"),
    row("3680", "3685", FIXED, "N6", "00,01", "368n", None, "MEASURE, GROSS"),
    row("3690", "3695", FIXED, "N6", "00,01", "369n", None, "MEASURE, GROSS"),
    row("37", "37", OPEN, "N..8", "00;02,8026", "", None, "COUNT"),
    row("3900", "3909", OPEN, "N..15", "255,8020", "390n,391n,394n,8111", None, "AMOUNT"),
    row("3910", "3919", OPEN, "N3 N..15", "8020", "391n", None, "AMOUNT"),
    row("3920", "3929", OPEN, "N..15", "01;30,31nn,32nn,35nn,36nn", "392n,393n", None, "PRICE"),
    row("3930", "3939", OPEN, "N3 N..15", "30,31nn,32nn,35nn,36nn", "393n", None, "PRICE"),
    row("3940", "3943", OPEN, "N4", "255", "394n,8111", None, "PRCNT OFF"),
    row("3950", "3955", OPEN, "N6", "30,31nn,32nn,35nn,36nn", "392n,393n,395n,8005", None, "PRICE/UoM"),
    row("400", "400", OPEN, "X..30", "", "", None, "ORDER NUMBER"),
    row("401", "401", OPEN, "X..30", "", "", Some(""), "GINC"),
    row("402", "402", OPEN, "N17c", "", "", Some(""), "GSIN"),
    row("403", "403", OPEN, "X..30", "00", "", None, "ROUTE"),
    row("410", "410", FIXED, "N13c", "", "", None, "SHIP TO LOC"),
    row("411", "411", FIXED, "N13c", "", "", None, "BILL TO"),
    row("412", "412", FIXED, "N13c", "", "", None, "PURCHASE FROM"),
    row("413", "413", FIXED, "N13c", "", "", None, "SHIP FOR LOC"),
    row("414", "414", FIXED, "N13c", "", "", Some("254/7040"), "LOC No."),
    row("415", "415", FIXED, "N13c", "8020", "", Some("8020"), "PAY TO"),
    row("416", "416", FIXED, "N13c", "", "", None, "PROD/SERV LOC"),
    row("417", "417", FIXED, "N13c", "", "", Some("7040"), "PARTY"),
    row("420", "420", OPEN, "X..20", "", "421", None, "SHIP TO POST"),
    row("421", "421", OPEN, "N3 X..9", "", "4307", None, "SHIP TO POST"),
    row("422", "422", OPEN, "N3", "01,02,8006,8026", "426", None, "ORIGIN"),
    row("423", "423", OPEN, "N..15", "01,02", "426", None, "COUNTRY - INITIAL PROCESS"),
    row("424", "424", OPEN, "N3", "01,02", "426", None, "COUNTRY - PROCESS"),
    row("425", "425", OPEN, "N..15", "01,02", "426", None, "COUNTRY - DISASSEMBLY"),
    row("426", "426", OPEN, "N3", "01,02", "", None, "COUNTRY - FULL PROCESS"),
    row("427", "427", OPEN, "X..3", "01,02;422", "", None, "ORIGIN SUBDIVISION"),
    row("4300", "4301", OPEN, "X..35p", "00", "", None, "SHIP TO NAME"),
    row("4302", "4302", OPEN, "X..70p", "00", "", None, "SHIP TO ADD1"),
    row("4303", "4303", OPEN, "X..70p", "4302", "", None, "SHIP TO ADD2"),
    row("4304", "4306", OPEN, "X..70p", "00", "", None, "SHIP TO PLACE"),
    row("4307", "4307", OPEN, "X2a", "00", "", None, "SHIP TO COUNTRY"),
    row("4308", "4308", OPEN, "X..30", "00", "", None, "SHIP TO PHONE"),
    row("4309", "4309", OPEN, "N10 N10", "00", "", None, "SHIP TO GEO"),
    row("4310", "4311", OPEN, "X..35p", "00", "", None, "RTN TO NAME"),
    row("4312", "4312", OPEN, "X..70p", "00", "", None, "RTN TO ADD1"),
    row("4313", "4313", OPEN, "X..70p", "4312", "", None, "RTN TO ADD2"),
    row("4314", "4316", OPEN, "X..70p", "00", "", None, "RTN TO PLACE"),
    row("4317", "4317", OPEN, "X2a", "00", "", None, "RTN TO COUNTRY"),
    row("4318", "4318", OPEN, "X..20", "00", "", None, "RTN TO POST"),
    row("4319", "4319", OPEN, "X..30", "00", "", None, "RTN TO PHONE"),
    row("4320", "4320", OPEN, "X..35p", "00", "", None, "SRV DESCRIPTION"),
    row("4321", "4321", OPEN, "N1f", "00", "", None, "DANGEROUS GOODS"),
    row("4322", "4322", OPEN, "N1f", "00", "", None, "AUTH TO LEAVE"),
    row("4323", "4323", OPEN, "N1f", "00", "", None, "SIG REQUIRED"),
    row("4324", "4325", OPEN, "N6d N4t", "00", "", None, "DELIVERY TIME"),
    row("4326", "4326", OPEN, "N6D", "00", "", None, "REL DATE"),
    row("4330", "4330", OPEN, "N6 X0..1h", "00", "4331", None, "MAX TEMP F"),
    row("4331", "4331", OPEN, "N6 X0..1h", "00", "4330", None, "MAX TEMP C"),
    row("4332", "4332", OPEN, "N6 X0..1h", "00", "4333", None, "MIN TEMP F"),
    row("4333", "4333", OPEN, "N6 X0..1h", "00", "4332", None, "MIN TEMP C"),
    row("7001", "7001", OPEN, "N13", "01,02,8006,8026", "", None, "NSN"),
    row("7002", "7002", OPEN, "X..30", "01,02", "", None, "MEAT CUT"),
    row("7003", "7003", OPEN, "N6D N4t", "01,02", "", None, "EXPIRY TIME"),
    row("7004", "7004", OPEN, "N..4", "01;10", "", None, "ACTIVE POTENCY"),
    row("7005", "7005", OPEN, "X..12", "01,02", "", None, "CATCH AREA"),
    row("7006", "7006", OPEN, "N6D", "01,02", "", None, "FIRST FREEZE DATE"),
    row("7007", "7007", OPEN, "N6D N0..6D", "01,02", "", None, "HARVEST DATE"),
    row("7008", "7008", OPEN, "X..3", "01,02", "", None, "AQUATIC SPECIES"),
    row("7009", "7009", OPEN, "X..10", "01,02", "", None, "FISHING GEAR TYPE"),
    row("7010", "7010", OPEN, "X..2", "01,02", "", None, "PROD METHOD"),
    row("7011", "7011", OPEN, "N6D N0..4t", "01,02", "", None, "TEST BY DATE"),
    row("7020", "7020", OPEN, "X..20", "01,8006;416", "", None, "REFURB LOT"),
    row("7021", "7021", OPEN, "X..20", "01,8006", "", None, "FUNC STAT"),
    row("7022", "7022", OPEN, "X..20", "7021", "", None, "REV STAT"),
    row("7023", "7023", OPEN, "X..30", "", "", None, "GIAI - ASSEMBLY"),
    row("7030", "7039", OPEN, "N3 X..27", "01,02", "", None, "PROCESSOR"),
    row("7040", "7040", OPEN, "N1 X3", "", "", None, "UIC+EXT"),
    row("710", "715", OPEN, "X..20", "01", "", None, "NHRN"),
    row("7230", "7239", OPEN, "X2 X..28", "01,8004", "", None, "CERT"),
    row("7240", "7240", OPEN, "X..20", "01,8006", "", None, "PROTOCOL"),
    row("7241", "7241", OPEN, "N2", "8017,8018", "", None, "AIDC MEDIA TYPE"),
    row("7242", "7242", OPEN, "X..25", "8017,8018", "", None, "VCN"),
    row("8001", "8001", OPEN, "N4 N5 N3 N1 N1", "01", "", None, "DIMENSIONS"),
    row("8002", "8002", OPEN, "X..20", "", "", None, "CMT No."),
    row("8003", "8003", OPEN, "N1z N13c X0..16", "", "", Some(""), "GRAI"),
    row("8004", "8004", OPEN, "X..30", "", "", Some("7040"), "GIAI"),
    row("8005", "8005", OPEN, "N6", "01,02", "", None, "PRICE PER UNIT"),
    row("8006", "8006", OPEN, "N14c N4", "", "01,37", Some("22,10,21"), "ITIP"),
    row("8007", "8007", OPEN, "X..34", "415", "", None, "IBAN"),
    row("8008", "8008", OPEN, "N8 N0..4", "01,02", "", None, "PROD TIME"),
    row("8009", "8009", OPEN, "X..50", "00,01", "", None, "OPTSEN"),
    row("8010", "8010", OPEN, "Y..30", "", "", Some("8011"), "CPID"),
    row("8011", "8011", OPEN, "N..12", "8010", "", None, "CPID SERIAL"),
    row("8012", "8012", OPEN, "X..20", "01,8006", "", None, "VERSION"),
    row("8013", "8013", OPEN, "X..25", "", "", Some(""), "GMN"),
    row("8017", "8017", OPEN, "N18c", "", "8018", Some("8019"), "GSRN - PROVIDER"),
    row("8018", "8018", OPEN, "N18c", "", "8017", Some("8019"), "GSRN - RECIPIENT"),
    row("8019", "8019", OPEN, "N..10", "8017,8018", "", None, "SRIN"),
    row("8020", "8020", OPEN, "X..25", "415", "", None, "REF No."),
    row("8026", "8026", OPEN, "N14c N4", "37", "02,8006", None, "ITIP CONTENT"),
    row("8030", "8030", OPEN, "Z..90", "00,01,253,255,8003,8004,8006,8010,8017,8018", "", None, "DIGSIG"),
    row("8110", "8110", OPEN, "X..70", "", "", None, "COUPON"),
    row("8111", "8111", OPEN, "N4", "255", "", None, "POINTS"),
    row("8112", "8112", OPEN, "X..70", "", "", None, "COUPON"),
    row("8200", "8200", OPEN, "X..70", "01", "", None, "PRODUCT URL"),
    row("90", "90", OPEN, "X..30", "", "", None, "INTERNAL"),
    row("91", "99", OPEN, "X..90", "", "", None, "INTERNAL"),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_row_reads_and_no_identifier_begins_another() {
        for row in &IDENTIFIERS {
            assert_eq!(row.parts().count(), row.parts.split(' ').count(), "{row:?}");
            assert!(row.first <= row.last && row.first.len() == row.last.len());
            assert_eq!(
                row.fixed,
                row.fixed && row.parts().all(|part| part.least == part.most)
            );
            for other in &IDENTIFIERS {
                let same = std::ptr::eq(row, other);
                assert!(
                    same || !other.first.starts_with(row.first),
                    "{row:?} {other:?}"
                );
            }
        }
    }
}
