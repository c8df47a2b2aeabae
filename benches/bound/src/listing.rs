//! The disassembly of an image, as `objdump -d -C -z --no-show-raw-insn` writes it.

use std::collections::BTreeMap;

/// The functions of an image, by address.
pub(crate) type Image = BTreeMap<u32, Function>;

/// A function.
#[derive(Debug)]
pub(crate) struct Function {
    pub(crate) name: String,
    /// By address, without the constants between them.
    pub(crate) instructions: BTreeMap<u32, Instruction>,
}

/// An instruction.
#[derive(Debug)]
pub(crate) struct Instruction {
    /// The mnemonic and its operands.
    pub(crate) text: String,
    /// The address behind it.
    pub(crate) after: u32,
    pub(crate) kind: Kind,
}

/// What follows an instruction.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// The instruction behind it.
    Falls,
    Jumps(u32),
    /// The instruction behind it, or this one.
    Branches(u32),
    /// A function, which returns behind it.
    Calls(u32),
    Returns,
    /// The listing does not say what follows.
    Unknown,
}

/// Reads a listing.
pub(crate) fn read(listing: &str) -> Image {
    let mut image = Image::new();
    let mut at = 0;
    for line in listing.lines() {
        if let Some((address, name)) = header(line) {
            at = address;
            image.insert(at, Function { name: name.to_owned(), instructions: BTreeMap::new() });
        } else if let Some((address, text)) = instruction(line)
            && let Some(function) = image.get_mut(&at)
        {
            let (kind, size) = (kind(&text), if is_wide(&text) { 4 } else { 2 });
            function.instructions.insert(address, Instruction { text, after: address + size, kind });
        }
    }
    for (entry, function) in &mut image {
        function.far_jumps(*entry);
    }
    image
}

impl Function {
    /// A jump reaches only 2 KB. In a larger function the compiler jumps by `bl`: such a call goes into the function.
    fn far_jumps(&mut self, entry: u32) {
        let inside: Vec<u32> = self.instructions.keys().copied().filter(|at| *at != entry).collect();
        for instruction in self.instructions.values_mut() {
            if let Kind::Calls(to) = instruction.kind
                && inside.binary_search(&to).is_ok()
            {
                instruction.kind = Kind::Jumps(to);
            }
        }
    }
}

/// `0001ec08 <name>:`
fn header(line: &str) -> Option<(u32, &str)> {
    let (address, name) = line.strip_suffix(">:")?.split_once(" <")?;
    Some((u32::from_str_radix(address, 16).ok()?, name))
}

/// `   1ec08:\tpush\t{r4, r5, r6, r7, lr}`; not a constant, `.word`.
fn instruction(line: &str) -> Option<(u32, String)> {
    let (address, rest) = line.split_once(":\t")?;
    let text = rest.split(['@', ';']).next()?.split_whitespace().collect::<Vec<_>>().join(" ");
    (!text.starts_with('.')).then_some((u32::from_str_radix(address.trim(), 16).ok()?, text))
}

/// The few instructions of an ARMv6-M that take two halfwords.
fn is_wide(text: &str) -> bool {
    ["bl ", "mrs", "msr", "dmb", "dsb", "isb", "udf.w"].iter().any(|wide| text.starts_with(wide))
}

fn kind(text: &str) -> Kind {
    const CONDITIONS: &str = "eq ne cs cc hs lo mi pl vs vc hi ls ge lt gt le";
    let (mnemonic, operands) = text.split_once(' ').unwrap_or((text, ""));
    let target = || operands.split(' ').next().and_then(|word| u32::from_str_radix(word, 16).ok());
    let mnemonic = mnemonic.strip_suffix(".n").unwrap_or(mnemonic);
    let registers =
        |first: &str| operands.strip_prefix(first).is_some_and(|rest| !rest.starts_with(char::is_alphanumeric));
    match mnemonic {
        "bl" => target().map_or(Kind::Unknown, Kind::Calls),
        "b" => target().map_or(Kind::Unknown, Kind::Jumps),
        "bx" if operands == "lr" => Kind::Returns,
        "bx" | "blx" | "udf" | "svc" | "bkpt" | "wfi" | "wfe" => Kind::Unknown,
        "pop" if operands.contains("pc") => Kind::Returns,
        _ if mnemonic.len() == 3 && mnemonic.starts_with('b') && CONDITIONS.contains(&mnemonic[1..]) => {
            target().map_or(Kind::Unknown, Kind::Branches)
        }
        // Only these can write the program counter.
        "mov" | "add" | "ldr" if registers("pc") => Kind::Unknown,
        _ => Kind::Falls,
    }
}
