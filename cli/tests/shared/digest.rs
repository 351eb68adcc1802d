//! A digest that is the same on every machine and with every compiler.

/// FNV-1a, 64 bits.
/// Source of the constants: Fowler, Noll, Vo, "The FNV Non-Cryptographic Hash Algorithm" (IETF
/// draft); from memory.
pub fn fingerprint(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}
