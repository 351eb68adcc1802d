//! A screenshot made small, and a picture's size read back.

use std::collections::HashMap;
use std::io::Cursor;

use png::{BitDepth, ColorType, Compression, Decoder, Encoder, Filter, Transformations};

/// Colours of a palette.
const COLOURS: usize = 256;

type Colour = [u8; 3];

/// The same picture with its 256 commonest colours; any other becomes the nearest of them.
pub fn small(screenshot: &[u8]) -> Vec<u8> {
    let (pixels, (width, height)) = pixels(screenshot);
    let mut counts: HashMap<Colour, usize> = HashMap::new();
    for pixel in &pixels {
        *counts.entry(*pixel).or_default() += 1;
    }
    let mut colours: Vec<(Colour, usize)> = counts.into_iter().collect();
    colours.sort_by_key(|(colour, count)| (usize::MAX - count, *colour));
    let palette: Vec<Colour> = colours.iter().take(COLOURS).map(|(c, _)| *c).collect();
    let places: HashMap<Colour, u8> = colours
        .iter()
        .map(|(colour, _)| (*colour, nearest(&palette, *colour)))
        .collect();
    let indices: Vec<u8> = pixels.iter().map(|pixel| places[pixel]).collect();
    let mut out = Vec::new();
    let mut encoder = Encoder::new(&mut out, width, height);
    encoder.set_color(ColorType::Indexed);
    encoder.set_depth(BitDepth::Eight);
    encoder.set_palette(palette.concat());
    encoder.set_compression(Compression::High);
    // Neighbours of a palette have nothing to do with each other's numbers.
    encoder.set_filter(Filter::NoFilter);
    let mut writer = encoder.write_header().expect("a head");
    writer.write_image_data(&indices).expect("pixels");
    writer.finish().expect("an end");
    out
}

/// Width and height, px.
pub fn size(picture: &[u8]) -> (u32, u32) {
    let reader = Decoder::new(Cursor::new(picture)).read_info();
    let info = reader.expect("a PNG");
    (info.info().width, info.info().height)
}

fn pixels(picture: &[u8]) -> (Vec<Colour>, (u32, u32)) {
    let mut decoder = Decoder::new(Cursor::new(picture));
    decoder.set_transformations(Transformations::normalize_to_color8());
    let mut reader = decoder.read_info().expect("a PNG");
    let mut bytes = vec![0; reader.output_buffer_size().expect("a size")];
    let frame = reader.next_frame(&mut bytes).expect("a picture");
    let each = frame.color_type.samples();
    assert!(each >= 3, "a coloured picture");
    let pixels = bytes[..frame.buffer_size()]
        .chunks(each)
        .map(|pixel| [pixel[0], pixel[1], pixel[2]])
        .collect();
    (pixels, (frame.width, frame.height))
}

fn nearest(palette: &[Colour], colour: Colour) -> u8 {
    let far = |other: &Colour| -> u32 {
        let pairs = other.iter().zip(&colour);
        pairs.map(|(a, b)| u32::from(a.abs_diff(*b)).pow(2)).sum()
    };
    let place = (0..palette.len()).min_by_key(|at| far(&palette[*at]));
    place.expect("a colour") as u8
}
