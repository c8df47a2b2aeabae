//! The drawing surface: lines, areas and words in pixels, on an SVG in quarter pixels.

use std::cell::RefCell;
use std::fmt::{self, Write};

use crate::caution::CAUTION;

/// Units of the drawing per pixel, in whole numbers, which are shorter than decimals.
const FINE: f64 = 4.0;

/// The result of drawing. Memory takes everything, so none fails.
pub(super) type Drawn = fmt::Result;

/// A colour: red, green, blue.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Ink(pub(super) u8, pub(super) u8, pub(super) u8);

/// The part of the words that is at their point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Align {
    Left,
    Middle,
    Right,
}

/// A point in pixels, from the top left corner.
pub(super) type Point = (f64, f64);

/// A rectangle in pixels.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Area {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) right: f64,
    pub(super) bottom: f64,
}

impl Area {
    pub(super) fn width(self) -> f64 {
        self.right - self.left
    }

    pub(super) fn height(self) -> f64 {
        self.bottom - self.top
    }
}

/// The colour and the weight of a line.
#[derive(Clone, Copy)]
pub(super) struct Pen {
    pub(super) ink: Ink,
    pub(super) weight: f64,
    pub(super) opacity: f64,
}

impl Pen {
    pub(super) const fn new(ink: Ink, weight: f64) -> Self {
        Self { ink, weight, opacity: 1.0 }
    }
}

/// The style of words.
#[derive(Clone, Copy)]
pub(super) struct Lettering {
    pub(super) size: f64,
    pub(super) bold: bool,
    pub(super) ink: Ink,
    pub(super) align: Align,
}

impl Lettering {
    pub(super) const fn new(size: f64, ink: Ink) -> Self {
        Self { size, bold: false, ink, align: Align::Left }
    }

    pub(super) const fn bold(self) -> Self {
        Self { bold: true, ..self }
    }

    pub(super) const fn align(self, align: Align) -> Self {
        Self { align, ..self }
    }

    /// The approximate width of these words, in pixels. The font is not known, so it is a little more than common fonts
    /// need.
    pub(super) fn width_of(self, words: &str) -> f64 {
        let each = if self.bold { 0.6 } else { 0.54 };
        #[allow(clippy::cast_precision_loss)] // texts are short
        let count = words.chars().count() as f64;
        count * self.size * each
    }
}

/// An unfinished picture.
pub(super) struct Canvas<'a> {
    svg: RefCell<&'a mut String>,
}

impl<'a> Canvas<'a> {
    /// An empty white picture of this size in pixels. [`finish`](Self::finish) writes it into `svg`.
    pub(super) fn new(svg: &'a mut String, (width, height): Point) -> Result<Self, fmt::Error> {
        let (wide, high) = (fine(width), fine(height));
        writeln!(
            svg,
            r#"<svg width="{wide}" height="{high}" viewBox="0 0 {wide} {high}" xmlns="http://www.w3.org/2000/svg">"#
        )?;
        let canvas = Self { svg: RefCell::new(svg) };
        canvas.block(Area { left: 0.0, top: 0.0, right: width, bottom: height }, Ink(255, 255, 255))?;
        Ok(canvas)
    }

    /// Completes the picture.
    pub(super) fn finish(self) -> Drawn {
        self.put(format_args!("</svg>"))
    }

    fn put(&self, element: fmt::Arguments<'_>) -> Drawn {
        writeln!(self.svg.borrow_mut(), "{element}")
    }

    pub(super) fn line(&self, points: impl IntoIterator<Item = Point>, pen: Pen) -> Drawn {
        let mut path: Vec<(i32, i32)> = Vec::new();
        for point in points.into_iter().map(placed) {
            // A point inside a horizontal or vertical run is redundant.
            if let [.., before, last] = path.as_slice() {
                let level = before.1 == last.1 && last.1 == point.1 && (before.0 <= last.0) == (last.0 <= point.0);
                let upright = before.0 == last.0 && last.0 == point.0 && (before.1 <= last.1) == (last.1 <= point.1);
                if level || upright {
                    path.pop();
                }
            }
            if path.last() != Some(&point) {
                path.push(point);
            }
        }
        if path.len() < 2 {
            return Ok(());
        }
        self.put(format_args!(r#"<polyline fill="none" {}points="{}"/>"#, Stroke(pen), Points(&path)))
    }

    pub(super) fn block(&self, area: Area, ink: Ink) -> Drawn {
        self.put(format_args!(r#"<rect {}fill="{ink}"/>"#, Sides(area)))
    }

    /// A translucent area of any shape.
    pub(super) fn shade(&self, corners: impl IntoIterator<Item = Point>, ink: Ink, opacity: f64) -> Drawn {
        let corners = corners.into_iter().map(placed).collect::<Vec<_>>();
        self.put(format_args!(r#"<polygon opacity="{opacity}" fill="{ink}" points="{}"/>"#, Points(&corners)))
    }

    pub(super) fn border(&self, area: Area, pen: Pen) -> Drawn {
        self.put(format_args!(r#"<rect {}fill="none" {}/>"#, Sides(area), Stroke(pen)))
    }

    /// The upper and the lower edge of an area.
    pub(super) fn level_edges(&self, area: Area, pen: Pen) -> Drawn {
        [area.top, area.bottom].into_iter().try_for_each(|y| self.line([(area.left, y), (area.right, y)], pen))
    }

    pub(super) fn dot(&self, at: Point, radius: f64, ink: Ink) -> Drawn {
        let (x, y) = placed(at);
        self.put(format_args!(r#"<circle cx="{x}" cy="{y}" r="{}" fill="{ink}"/>"#, fine(radius)))
    }

    pub(super) fn ring(&self, at: Point, radius: f64, pen: Pen) -> Drawn {
        let (x, y) = placed(at);
        self.put(format_args!(r#"<circle cx="{x}" cy="{y}" r="{}" fill="none" {}/>"#, fine(radius), Stroke(pen)))
    }

    /// Words, vertically centred on the point.
    pub(super) fn words(&self, at: Point, words: &str, how: Lettering) -> Drawn {
        let ((x, y), size, ink) = (placed(at), how.size * FINE, how.ink);
        let anchor = match how.align {
            Align::Left => "start",
            Align::Middle => "middle",
            Align::Right => "end",
        };
        let weight = if how.bold { r#" font-weight="bold""# } else { "" };
        let words = escaped(words);
        self.put(format_args!(
            r#"<text x="{x}" y="{y}" dy="0.5ex" text-anchor="{anchor}" font-family="sans-serif" font-size="{size}" fill="{ink}"{weight}>{words}</text>"#
        ))
    }

    /// Diagonal lines over an area, `apart` pixels from each other, which distinguish it without colour. The lines of
    /// neighbouring areas join.
    pub(super) fn hatch(&self, area: Area, apart: f64, rising: bool, pen: Pen) -> Drawn {
        // Along a rising line x + y is constant, along a falling line x - y.
        let lean = if rising { 1.0 } else { -1.0 };
        let ends = [area.left + lean * area.top, area.left + lean * area.bottom];
        let from = ends[0].min(ends[1]);
        let to = from + area.width() + area.height();
        let mut held = (from / apart).ceil() * apart;
        while held <= to {
            let at = |y: f64| held - lean * y;
            let (low, high) = (at(area.top).min(at(area.bottom)), at(area.top).max(at(area.bottom)));
            let (left, right) = (low.max(area.left), high.min(area.right));
            if right > left {
                self.line([left, right].map(|x| (x, (held - x) * lean)), pen)?;
            }
            held += apart;
        }
        Ok(())
    }
}

impl fmt::Display for Ink {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "#{:02X}{:02X}{:02X}", self.0, self.1, self.2)
    }
}

/// The attributes of a line.
struct Stroke(Pen);

impl fmt::Display for Stroke {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Pen { ink, weight, opacity } = self.0;
        if opacity < 1.0 {
            write!(f, r#"opacity="{opacity}" "#)?;
        }
        write!(f, r#"stroke="{ink}" stroke-width="{}" "#, fine(weight).max(1))
    }
}

/// The attributes of a rectangle.
struct Sides(Area);

impl fmt::Display for Sides {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let ((x, y), (right, bottom)) = (placed((self.0.left, self.0.top)), placed((self.0.right, self.0.bottom)));
        write!(f, r#"x="{x}" y="{y}" width="{}" height="{}" "#, right - x, bottom - y)
    }
}

struct Points<'a>(&'a [(i32, i32)]);

impl fmt::Display for Points<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, (x, y)) in self.0.iter().enumerate() {
            write!(f, "{}{x},{y}", if place == 0 { "" } else { " " })?;
        }
        Ok(())
    }
}

fn placed((x, y): Point) -> (i32, i32) {
    (fine(x), fine(y))
}

#[allow(clippy::cast_possible_truncation)] // saturates
fn fine(pixels: f64) -> i32 {
    (pixels * FINE).round() as i32
}

/// A name, cut to at most 14 characters.
pub(super) fn shortened(name: &str) -> String {
    if name.chars().count() > 14 { name.chars().take(13).chain(['.']).collect() } else { name.to_owned() }
}

/// Replaces control characters, which XML does not allow, not even escaped.
fn printable(words: &str) -> String {
    words.chars().map(|c| if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') { '\u{fffd}' } else { c }).collect()
}

/// Adds the size in pixels, and a title, a description and the caution for people who cannot see the picture.
pub(super) fn dressed(svg: &str, (width, height): Point, title: &str, description: &str) -> String {
    let drawn = format!("width=\"{}\" height=\"{}\"", fine(width), fine(height));
    let shown = format!("width=\"{width:.0}\" height=\"{height:.0}\" role=\"img\"");
    let svg = svg.replacen(&drawn, &shown, 1);
    let description = format!("{description} {}", CAUTION.join(" "));
    let words = format!("<title>{}</title>\n<desc>{}</desc>\n", escaped(title), escaped(&description));
    match svg.split_once(">\n") {
        Some((head, body)) => format!("{head}>\n{words}{body}"),
        None => svg,
    }
}

fn escaped(words: &str) -> String {
    printable(words).replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hatching_stays_inside_its_area() {
        let mut svg = String::new();
        let canvas = Canvas::new(&mut svg, (100.0, 100.0)).unwrap();
        let area = Area { left: 20.0, top: 30.0, right: 60.0, bottom: 50.0 };
        for rising in [true, false] {
            canvas.hatch(area, 7.0, rising, Pen::new(Ink(0, 0, 0), 1.0)).unwrap();
        }
        canvas.finish().unwrap();
        let points: Vec<f64> = svg
            .split("points=\"")
            .skip(1)
            .flat_map(|rest| rest.split('"').next().unwrap_or("").split([' ', ',']))
            .filter_map(|number| number.parse().ok())
            .collect();
        assert!(points.len() >= 4 * 12, "{svg}");
        for pair in points.chunks(2) {
            assert!((80.0..=240.0).contains(&pair[0]) && (120.0..=200.0).contains(&pair[1]), "{pair:?}");
        }
    }

    #[test]
    fn control_characters_do_not_reach_the_file() {
        assert_eq!(escaped("a\u{1}<b>&"), "a\u{fffd}&lt;b&gt;&amp;");
    }
}
