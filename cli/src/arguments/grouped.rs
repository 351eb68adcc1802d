//! The commands in groups, as a job goes: what stands in the program's own help.

/// Help of the program: the commands that a job is done with, and where the rest is.
pub(super) const HELP: &str = "\
{before-help}{about-with-newline}
{usage-heading} {usage}

Before the cut:
  new        Ask about lathe and job in shop words and write both files
  compare    Say whether the drawing is in reach, and how: every way, ranked
  predict    Tell one way in detail, pass by pass
  modify     Say what a change to lathe, tool or way of cutting would buy
  sheet      Write the setup sheet to take to the lathe

At the lathe:
  lathe      Fill in the lathe's numbers: shop tests, the next test, what a job taught
  guide      Work out the taper really set from carriage and slide readings
  gauging    Do the sums: standoff to dial, blue to guide nudge, rolls, balls, diameters
  rehearse   Try hand moves: what carriage, dial, readout and tool really do

Afterwards:
  piece      Tell what a finished piece says, and what most likely made it so

Teaching:
  lesson     Write a lesson on the attachment at this lathe, in one HTML file
  page       Put both cuts side by side, to be touched, into one HTML file

Files:
  check      Tell every fault of any file, with its place and what would be right
  blank      Write a file to fill in: shop tests, guide readings, a finished piece

More: preload (how to hold the slide), taper (one taper in every form), tools (for other programs:
parts of one comparison, schemas, the manual, completions). Each has its own --help.

Options:
{options}{after-help}";
