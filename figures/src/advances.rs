//! How wide text is by the advances of its letters alone, for builds that can't read the font.

/// Units of the tables to the size of the letters.
const EM: f64 = 2048.0;

/// From the embedded font, from the space to the tilde.
#[rustfmt::skip]
const PLAIN: [u16; 95] = [
    651, 821, 942, 1716, 1303, 1946, 1597, 563, 799, 799, 1024, 1716, 651, 739, 651, 690,
    1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 1303, 690, 690, 1716, 1716, 1716, 1087,
    2048, 1401, 1405, 1430, 1577, 1294, 1178, 1587, 1540, 604, 604, 1343, 1141, 1767, 1532, 1612,
    1235, 1612, 1423, 1300, 1251, 1499, 1401, 2025, 1403, 1251, 1403, 799, 690, 799, 1716, 1024,
    1024, 1255, 1300, 1126, 1300, 1260, 721, 1300, 1298, 569, 569, 1186, 569, 1995, 1298, 1253,
    1300, 1300, 842, 1067, 803, 1298, 1212, 1675, 1212, 1212, 1075, 1303, 690, 1303, 1716,
];

/// The same of the bold face.
#[rustfmt::skip]
const BOLD: [u16; 95] = [
    713, 934, 1067, 1716, 1425, 2052, 1786, 627, 936, 936, 1071, 1716, 778, 850, 778, 748,
    1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 1425, 819, 819, 1716, 1716, 1716, 1188,
    2048, 1585, 1561, 1503, 1700, 1399, 1399, 1681, 1714, 762, 762, 1587, 1305, 2038, 1714, 1741,
    1501, 1741, 1577, 1475, 1397, 1663, 1585, 2259, 1579, 1483, 1485, 936, 748, 936, 1716, 1024,
    1024, 1382, 1466, 1214, 1466, 1389, 891, 1466, 1458, 702, 702, 1362, 702, 2134, 1458, 1407,
    1466, 1466, 1010, 1219, 979, 1458, 1335, 1892, 1321, 1335, 1192, 1458, 748, 1458, 1716,
];

/// Width of a line of text, px.
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let table = if bold { &BOLD } else { &PLAIN };
    let of = |letter: char| {
        let place = (letter as usize).checked_sub(' ' as usize);
        // Any other letter is taken for a digit's width.
        let known = place.and_then(|place| table.get(place));
        f64::from(*known.unwrap_or(&table['0' as usize - ' ' as usize]))
    };
    text.chars().map(of).sum::<f64>() * size / EM
}

#[cfg(all(test, feature = "png"))]
mod tests {
    use super::*;

    #[test]
    fn advances_come_near_the_width_that_is_drawn() {
        for text in [
            "Slide drawn toward the headstock: 0.0123 in",
            "WAVES AND TAPER, fl ~{}|@#%&",
            "i",
            "M",
            "\u{b0} off \u{b1}3",
        ] {
            for (size, bold) in [(13.0, false), (26.0, true)] {
                let (ours, drawn) = (
                    width(text, size, bold),
                    crate::font::width(text, size, bold),
                );
                // What is drawn ends with the ink of its outer letters, and is kerned.
                assert!(
                    (ours - drawn).abs() < 0.5 * size + 0.02 * drawn,
                    "{text}, {size}: {ours}, {drawn}"
                );
            }
        }
    }
}
