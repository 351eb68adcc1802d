//! Whether this processor can run the program as it was built.

/// What to say where it can't.
///
/// The build says which instructions it may use (`.cargo/config.toml`), and what it may use it
/// takes for given, so the processor itself is asked.
#[cfg(all(target_arch = "x86_64", target_feature = "avx2"))]
pub fn lacks() -> Option<&'static str> {
    let features = raw_cpuid::CpuId::new().get_extended_feature_info();
    let able = features.is_some_and(|features| features.has_avx2());
    (!able).then_some(
        "this build is for processors with AVX2 (from 2013 on), and this one has none; build it \
         anew with RUSTFLAGS=\"\" set, and it runs here, a little slower, with the same results",
    )
}

/// Built for any processor of its kind.
#[cfg(not(all(target_arch = "x86_64", target_feature = "avx2")))]
pub fn lacks() -> Option<&'static str> {
    None
}
