//! Holds picture intake against two programs that had no part in it: ExifTool writes everything that cameras, phones and
//! editors leave in a picture and then looks for what is left of it; ImageMagick draws, encodes and turns the pictures,
//! and says what stands where. Both must be installed (Debian: `libimage-exiftool-perl`, `imagemagick`).
//!
//! Must never put a real person, place or maker into a picture.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::process::Command;

use photos::{Limits, PhotoError, Picture, SourceFormat, intake};
use tempfile::TempDir;

/// Four colours and two marks, so that no turning or mirroring leaves the picture as it was.
const DRAWING: &[&str] = &[
    "-size",
    "400x300",
    "xc:rgb(210,40,40)",
    "-fill",
    "rgb(40,180,60)",
    "-draw",
    "rectangle 200,0 399,149",
    "-fill",
    "rgb(50,60,200)",
    "-draw",
    "rectangle 0,150 199,299",
    "-fill",
    "rgb(225,225,225)",
    "-draw",
    "rectangle 200,150 399,299",
    "-fill",
    "rgb(20,20,20)",
    "-draw",
    "rectangle 20,20 90,50",
    "-draw",
    "rectangle 300,190 320,280",
];

/// What ExifTool writes into the pictures: position, owner, serial numbers, XMP, IPTC, comments.
/// Tags as in ExifTool's tag tables; the selection is what cameras and phones write (common practice, no source).
const PERSONAL_TAGS: &[&str] = &[
    "-GPSLatitude=48.8584",
    "-GPSLatitudeRef=N",
    "-GPSLongitude=2.2945",
    "-GPSLongitudeRef=E",
    "-IFD0:Make=Quillmark",
    "-IFD0:Model=QM-4",
    "-IFD0:Artist=Jane Tester",
    "-ExifIFD:SerialNumber=SN123",
    "-ExifIFD:OwnerName=Jane Tester",
    "-ExifIFD:ImageUniqueID=UID4711",
    "-ExifIFD:UserComment=secret",
    "-XMP:Creator=Jane Tester",
    "-XMP:DocumentID=UID4712",
];

/// Text that was written into the pictures, and the marks of the places it was written to.
const TRACES: &[&[u8]] = &[
    b"Jane",
    b"SN123",
    b"UID471",
    b"Quillmark",
    b"QM-4",
    b"secret",
    b"Lindenford",
    b"TRAILER",
    b"Exif",
    b"ns.adobe.com",
    b"8BIM",
    b"ICC_PROFILE",
];

/// A folder for one check's pictures.
struct Darkroom(TempDir);

impl Darkroom {
    fn new() -> Self {
        Self(tempfile::tempdir().unwrap())
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    /// Has ImageMagick make a picture from the drawing.
    fn draw(&self, name: &str, settings: &[&str]) -> PathBuf {
        self.make(name, DRAWING, settings)
    }

    fn make(&self, name: &str, source: &[&str], settings: &[&str]) -> PathBuf {
        let path = self.path(name);
        magick(&[source, settings, &[text(&path)]].concat());
        path
    }

    /// Takes a picture in and writes both results beside it.
    fn take(&self, source: &Path) -> (Picture, [PathBuf; 2]) {
        let picture = intake(&fs::read(source).unwrap(), &Limits::default()).unwrap();
        let paths = [self.path("taken.jpg"), self.path("taken-thumbnail.jpg")];
        fs::write(&paths[0], &picture.jpeg).unwrap();
        fs::write(&paths[1], &picture.thumbnail_jpeg).unwrap();
        (picture, paths)
    }
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

/// Runs a program and returns what it printed; fails the check when the program is missing or fails.
fn run(program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program)
        .args(arguments)
        .output()
        .unwrap_or_else(|error| panic!("{program} must be installed for this check: {error}"));
    let errors = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{program} {arguments:?}: {errors}");
    String::from_utf8(output.stdout).unwrap()
}

/// Runs ImageMagick, whose command is `magick` from version 7 on and was `convert` before.
fn magick(arguments: &[&str]) -> String {
    match Command::new("magick").arg("-version").output() {
        Err(error) if error.kind() == ErrorKind::NotFound => run("convert", arguments),
        _ => run("magick", arguments),
    }
}

/// How far two pictures are apart by ImageMagick: root of the mean square, 0 to 1.
fn distance(one: &Path, other: &Path) -> f64 {
    let printed = magick(&[
        text(one),
        text(other),
        "-metric",
        "RMSE",
        "-compare",
        "-format",
        "%[distortion]",
        "info:",
    ]);
    printed.trim().parse().unwrap()
}

/// The groups and tags that ExifTool finds, each as "Group:Tag", without those about the file itself.
fn tags(path: &Path) -> Vec<String> {
    let printed = run("exiftool", &["-a", "-G1", "-s", "-u", "-ee", text(path)]);
    let tags = printed.lines().map(|line| {
        let (group, rest) = line.strip_prefix('[').unwrap().split_once(']').unwrap();
        format!("{group}:{}", rest.split_once(':').unwrap().0.trim())
    });
    tags.filter(|tag| {
        ![
            "ExifTool:ExifToolVersion",
            "Composite:ImageSize",
            "Composite:Megapixels",
        ]
        .contains(&tag.as_str())
    })
    .filter(|tag| !tag.starts_with("System:") && !tag.starts_with("File:"))
    .collect()
}

fn holds(bytes: &[u8], part: &[u8]) -> bool {
    bytes.windows(part.len()).any(|window| window == part)
}

/// The latitude as Exif keeps it: degrees and minutes as fractions of 1, in either byte order.
fn holds_position(bytes: &[u8]) -> bool {
    let numbers = [48_u32, 1, 51, 1];
    holds(bytes, &numbers.map(u32::to_be_bytes).concat())
        || holds(bytes, &numbers.map(u32::to_le_bytes).concat())
}

/// Checks that the input carries `expected` and the outputs nothing at all.
fn check_stripped(darkroom: &Darkroom, source: &Path, expected: &[&str]) {
    let (before, bytes_before) = (tags(source), fs::read(source).unwrap());
    for tag in expected {
        assert!(
            before.iter().any(|found| found == tag),
            "the input lacks {tag}: {before:?}"
        );
    }
    assert!(holds(&bytes_before, b"Jane") && holds_position(&bytes_before));
    let (_, taken) = darkroom.take(source);
    for path in taken {
        // The JFIF mark that starts every JPEG: its version and a density of 1 to 1.
        let left: Vec<_> = tags(&path)
            .into_iter()
            .filter(|tag| !tag.starts_with("JFIF:"))
            .collect();
        assert!(left.is_empty(), "{left:?}");
        let bytes = fs::read(&path).unwrap();
        for trace in TRACES {
            assert!(
                !holds(&bytes, trace),
                "{} is still there",
                String::from_utf8_lossy(trace)
            );
        }
        assert!(!holds_position(&bytes));
        assert_eq!(
            bytes
                .windows(3)
                .filter(|window| window == b"\xff\xd8\xff")
                .count(),
            1,
            "a picture in the picture"
        );
        assert!(bytes.ends_with(b"\xff\xd9"));
    }
}

/// Input made as ExifTool's documentation describes; looked through with `exiftool -a -G1 -s -u -ee`.
#[test]
fn nothing_personal_is_left_of_a_jpeg() {
    let darkroom = Darkroom::new();
    let (source, preview) = (
        darkroom.draw("source.jpg", &[]),
        darkroom.draw("preview.jpg", &["-resize", "80x60"]),
    );
    let preview = format!("-ThumbnailImage<={}", text(&preview));
    let own = [
        "-IPTC:City=Lindenford",
        "-Comment=secret",
        "-Photoshop:IPTCDigest=new",
        &preview,
        text(&source),
    ];
    run(
        "exiftool",
        &[&["-q", "-overwrite_original"], PERSONAL_TAGS, &own].concat(),
    );
    let mut bytes = fs::read(&source).unwrap();
    bytes.extend_from_slice(b"TRAILER of Jane Tester");
    fs::write(&source, bytes).unwrap();
    check_stripped(
        &darkroom,
        &source,
        &[
            "GPS:GPSLatitude",
            "IFD0:Artist",
            "ExifIFD:SerialNumber",
            "XMP-dc:Creator",
            "IPTC:City",
            "IFD1:ThumbnailImage",
        ],
    );
}

/// As above; PNG carries Exif in an eXIf chunk and XMP and comments in text chunks (W3C PNG, third edition).
#[test]
fn nothing_personal_is_left_of_a_png() {
    let darkroom = Darkroom::new();
    let source = darkroom.draw("source.png", &[]);
    let own = [
        "-PNG:Author=Jane Tester",
        "-PNG:Comment=secret",
        text(&source),
    ];
    run(
        "exiftool",
        &[&["-q", "-overwrite_original"], PERSONAL_TAGS, &own].concat(),
    );
    let mut bytes = fs::read(&source).unwrap();
    bytes.extend_from_slice(b"TRAILER of Jane Tester");
    fs::write(&source, bytes).unwrap();
    check_stripped(
        &darkroom,
        &source,
        &[
            "GPS:GPSLatitude",
            "IFD0:Artist",
            "ExifIFD:SerialNumber",
            "XMP-dc:Creator",
            "PNG:Author",
        ],
    );
}

/// As above; WebP carries Exif and XMP in chunks of those names (RFC 9649, section 2.7.1.5).
#[test]
fn nothing_personal_is_left_of_a_webp() {
    let darkroom = Darkroom::new();
    let source = darkroom.draw("source.webp", &["-quality", "90"]);
    run(
        "exiftool",
        &[
            &["-q", "-overwrite_original"],
            PERSONAL_TAGS,
            &[text(&source)],
        ]
        .concat(),
    );
    check_stripped(
        &darkroom,
        &source,
        &[
            "GPS:GPSLatitude",
            "IFD0:Artist",
            "ExifIFD:SerialNumber",
            "XMP-dc:Creator",
        ],
    );
}

/// The names of the orientations 1 to 8 in TIFF 6.0, as ImageMagick's `-orient` takes them.
const ORIENTATIONS: [&str; 8] = [
    "TopLeft",
    "TopRight",
    "BottomRight",
    "BottomLeft",
    "LeftTop",
    "RightTop",
    "RightBottom",
    "LeftBottom",
];

/// ExifTool sets the orientation, ImageMagick's `-auto-orient` says how the picture must look. ImageMagick reads it from
/// the JPEG itself; for the others, of which it doesn't in every version, it's told.
#[test]
fn all_eight_orientations_stand_as_imagemagick_turns_them() {
    for name in ["source.jpg", "source.png", "source.webp"] {
        let darkroom = Darkroom::new();
        let source = darkroom.draw(name, &["-quality", "95"]);
        for (number, told) in (1..).zip(ORIENTATIONS) {
            let value = format!("-IFD0:Orientation#={number}");
            run(
                "exiftool",
                &["-q", "-overwrite_original", &value, text(&source)],
            );
            let upright = darkroom.path("upright.png");
            let telling: &[&str] = if name == "source.jpg" {
                &[]
            } else {
                &["-orient", told]
            };
            magick(
                &[
                    &[text(&source)],
                    telling,
                    &["-auto-orient", "-strip", text(&upright)],
                ]
                .concat(),
            );
            let (picture, [taken, thumbnail]) = darkroom.take(&source);
            let size = if number < 5 { (400, 300) } else { (300, 400) };
            assert_eq!(
                (picture.width_px, picture.height_px),
                size,
                "{name}, orientation {number}"
            );
            let apart = distance(&taken, &upright);
            assert!(apart < 0.03, "{name}, orientation {number}: {apart}");
            let small = darkroom.path("small.png");
            let thumbnail_size = format!(
                "{}x{}!",
                picture.thumbnail_width_px, picture.thumbnail_height_px
            );
            magick(&[text(&upright), "-resize", &thumbnail_size, text(&small)]);
            let apart = distance(&thumbnail, &small);
            assert!(
                apart < 0.05,
                "{name}, orientation {number}, thumbnail: {apart}"
            );
        }
    }
}

/// The measure used above must tell the orientations apart, or it would prove nothing.
#[test]
fn the_drawing_looks_different_in_every_orientation() {
    let darkroom = Darkroom::new();
    let source = darkroom.draw("source.png", &[]);
    for turning in [["-flop"], ["-flip"], ["-transpose"], ["-transverse"]] {
        let turned = darkroom.path("turned.png");
        magick(
            &[
                &[text(&source)],
                turning.as_slice(),
                &["-resize", "400x300!", text(&turned)],
            ]
            .concat(),
        );
        assert!(
            distance(&source, &turned) > 0.2,
            "{turning:?}: {}",
            distance(&source, &turned)
        );
    }
}

/// ImageMagick encodes, decodes and lays on white; both readings must agree.
fn check_read(name: &str, settings: &[&str], format: SourceFormat) {
    let darkroom = Darkroom::new();
    let source = darkroom.draw(name, settings);
    let wanted = darkroom.path("wanted.png");
    magick(&[
        text(&source),
        "-background",
        "white",
        "-flatten",
        "-colorspace",
        "sRGB",
        "-depth",
        "8",
        text(&wanted),
    ]);
    let (picture, [taken, _]) = darkroom.take(&source);
    assert_eq!(picture.source_format, format);
    assert!(
        distance(&taken, &wanted) < 0.03,
        "{name} {settings:?}: {}",
        distance(&taken, &wanted)
    );
}

#[test]
fn jpeg_variants_are_read_as_imagemagick_reads_them() {
    check_read("a.jpg", &["-interlace", "JPEG"], SourceFormat::Jpeg);
    check_read("a.jpg", &["-colorspace", "Gray"], SourceFormat::Jpeg);
    check_read("a.jpg", &["-colorspace", "CMYK"], SourceFormat::Jpeg);
    check_read(
        "a.jpg",
        &["-colorspace", "CMYK", "-interlace", "JPEG"],
        SourceFormat::Jpeg,
    );
    for sampling in ["1x1", "2x1", "1x2", "2x2", "4x1", "4x2", "1x4"] {
        check_read("a.jpg", &["-sampling-factor", sampling], SourceFormat::Jpeg);
    }
}

#[test]
fn png_variants_are_read_as_imagemagick_reads_them() {
    check_read("a.png", &["-depth", "16"], SourceFormat::Png);
    check_read("a.png", &["-type", "Palette"], SourceFormat::Png);
    check_read("a.png", &["-colorspace", "Gray"], SourceFormat::Png);
    check_read("a.png", &["-interlace", "PNG"], SourceFormat::Png);
    check_read(
        "a.png",
        &[
            "-alpha",
            "set",
            "-channel",
            "A",
            "-evaluate",
            "set",
            "40%",
            "+channel",
        ],
        SourceFormat::Png,
    );
}

#[test]
fn webp_variants_are_read_as_imagemagick_reads_them() {
    check_read("a.webp", &["-quality", "90"], SourceFormat::Webp);
    check_read(
        "a.webp",
        &["-define", "webp:lossless=true"],
        SourceFormat::Webp,
    );
    let half_clear = [
        "-alpha",
        "set",
        "-channel",
        "A",
        "-evaluate",
        "set",
        "40%",
        "+channel",
        "-quality",
        "90",
    ];
    check_read("a.webp", &half_clear, SourceFormat::Webp);
}

/// ImageMagick scales the same picture with a filter of its own.
#[test]
fn a_twelve_megapixel_photo_is_scaled_as_imagemagick_scales_it() {
    let darkroom = Darkroom::new();
    let cloud = [
        "-seed",
        "7",
        "-size",
        "1000x750",
        "plasma:fractal",
        "-resize",
        "4000x3000!",
    ];
    let source = darkroom.make("source.jpg", &cloud, &["-quality", "92"]);
    let wanted = darkroom.path("wanted.png");
    magick(&[text(&source), "-resize", "2048x1536!", text(&wanted)]);
    let (picture, [taken, thumbnail]) = darkroom.take(&source);
    assert_eq!((picture.width_px, picture.height_px), (2048, 1536));
    assert!(
        distance(&taken, &wanted) < 0.02,
        "{}",
        distance(&taken, &wanted)
    );
    let described = magick(&[
        text(&taken),
        "-format",
        "%m %w %h %[jpeg:sampling-factor]",
        "info:",
    ]);
    assert_eq!(described.trim(), "JPEG 2048 1536 2x2,1x1,1x1");
    let described = magick(&[text(&thumbnail), "-format", "%m %w %h", "info:"]);
    assert_eq!(described.trim(), "JPEG 320 240");
    assert!(picture.thumbnail_jpeg.len() <= photos::THUMBNAIL_BYTES_MAX);
}

/// Sixty megapixels that take little room on the disk: what a decompression bomb looks like.
#[test]
fn a_sixty_megapixel_picture_is_refused_with_its_size_and_the_limit() {
    let darkroom = Darkroom::new();
    let source = darkroom.make(
        "source.jpg",
        &["-size", "10000x6000", "xc:gray50"],
        &["-quality", "60"],
    );
    let error = intake(&fs::read(&source).unwrap(), &Limits::default())
        .unwrap_err()
        .to_string();
    assert!(
        error.contains("10000 × 6000 = 60 megapixels, and at most 52 are taken"),
        "{error}"
    );
}

/// ImageMagick's encoders wrote the files; a copy broken off at any place must be refused and never half taken.
#[test]
fn a_picture_that_lost_its_end_is_refused() {
    let darkroom = Darkroom::new();
    let sources = [
        darkroom.draw("a.jpg", &["-attenuate", "0.3", "+noise", "Gaussian"]),
        darkroom.draw(
            "b.jpg",
            &[
                "-interlace",
                "JPEG",
                "-attenuate",
                "0.3",
                "+noise",
                "Gaussian",
            ],
        ),
        darkroom.draw("a.png", &[]),
        darkroom.draw("a.webp", &["-quality", "90"]),
    ];
    for source in sources {
        let bytes = fs::read(&source).unwrap();
        for kept_percent in [5, 20, 50, 80, 95, 99] {
            let cut = &bytes[..bytes.len() * kept_percent / 100];
            let result = intake(cut, &Limits::default());
            assert!(
                matches!(result, Err(PhotoError::CutShort { .. })),
                "{kept_percent} % of {}: {:?}",
                source.display(),
                result.map(|picture| picture.width_px)
            );
        }
    }
}
