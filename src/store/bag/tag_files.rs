//! The text files around a payload, line by line (RFC 8493, sections 2.1.1, 2.1.3, 2.2.2).

use super::names::shown;

/// Versions of BagIt that are read. In the older one spaces around a label were lawful.
const VERSIONS: [&str; 2] = ["1.0", "0.97"];

/// The version that `bagit.txt` declares.
pub(super) fn declared_version(text: &str) -> Result<String, String> {
    let lines: Vec<&str> = lines_of(text).collect();
    let [version, encoding] = lines.as_slice() else {
        return Err(format!("{} lines, where there are two", lines.len()));
    };
    let version = version
        .strip_prefix("BagIt-Version: ")
        .ok_or_else(|| format!("`{}`, where BagIt-Version: 1.0 stands", shown(version)))?;
    if !VERSIONS.contains(&version) {
        return Err(format!(
            "version `{}`; read are {}",
            shown(version),
            VERSIONS.join(" and ")
        ));
    }
    if *encoding != "Tag-File-Character-Encoding: UTF-8" {
        return Err(format!(
            "`{}`, where Tag-File-Character-Encoding: UTF-8 stands",
            shown(encoding)
        ));
    }
    Ok(version.to_owned())
}

/// Hash in lower case, path, and whether `./` stood before it; or what is wrong with the line.
type Line = Result<(String, String, bool), String>;

/// The lines of a manifest with their numbers.
pub(super) fn manifest_lines(text: &str, version: &str) -> Vec<(usize, Line)> {
    lines_of(text)
        .enumerate()
        .filter(|(_, line)| !line.is_empty())
        .map(|(n, line)| (n + 1, manifest_line(line, version)))
        .collect()
}

fn manifest_line(line: &str, version: &str) -> Line {
    let (hash, path) = line
        .split_once([' ', '\t'])
        .ok_or_else(|| format!("no hash and path: `{}`", shown(line)))?;
    if hash.is_empty() || !hash.bytes().all(|byte| byte.is_ascii_hexdigit()) {
        return Err(format!("not a hash: `{}`", shown(hash)));
    }
    let path = path.trim_start_matches([' ', '\t']);
    let (path, dotted) = match path.strip_prefix("./") {
        Some(rest) => (rest, true),
        None => (path, false),
    };
    Ok((hash.to_lowercase(), decoded(path, version), dotted))
}

/// A path with line feed, carriage return and, since 1.0, the percent sign in their own form.
fn decoded(path: &str, version: &str) -> String {
    let path = path
        .replace("%0A", "\n")
        .replace("%0a", "\n")
        .replace("%0D", "\r")
        .replace("%0d", "\r");
    if version == "0.97" {
        path
    } else {
        path.replace("%25", "%")
    }
}

/// A path as a manifest writes it.
pub(super) fn encoded(path: &str) -> String {
    path.replace('%', "%25")
        .replace('\n', "%0A")
        .replace('\r', "%0D")
}

/// Labels and values of `bag-info.txt`; a label may stand there several times.
pub(super) fn info_of(text: &str, version: &str) -> Result<Vec<(String, String)>, String> {
    let mut info: Vec<(String, String)> = Vec::new();
    for line in lines_of(text).filter(|line| !line.is_empty()) {
        if line.starts_with([' ', '\t']) {
            let (_, value) = info.last_mut().ok_or("its first line continues nothing")?;
            value.push(' ');
            value.push_str(line.trim());
            continue;
        }
        let (label, value) = line
            .split_once(':')
            .ok_or_else(|| format!("`{}` is no label with a value", shown(line)))?;
        if version != "0.97" && (label.trim() != label || !value.starts_with([' ', '\t'])) {
            return Err(format!(
                "`{}`: spaces where there are none, or none where there is one",
                shown(line)
            ));
        }
        info.push((label.trim().to_owned(), value.trim().to_owned()));
    }
    Ok(info)
}

/// Lines that end in LF, CR or both; the end of the last one may be absent.
fn lines_of(text: &str) -> impl Iterator<Item = &str> {
    let text = text.strip_suffix('\n').unwrap_or(text);
    text.split('\n').flat_map(|line| {
        let line = line.strip_suffix('\r').unwrap_or(line);
        line.split('\r')
    })
}
