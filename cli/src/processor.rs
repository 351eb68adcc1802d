//! Whether this processor can run the program as it was built.

/// What to say where it can't.
///
/// The build says which instructions it may use (`.cargo/config.toml`), and what it may use it
/// takes for given, so the processor itself is asked.
#[cfg(all(target_arch = "x86_64", target_feature = "avx2"))]
pub fn lacks() -> Option<&'static str> {
    let id = raw_cpuid::CpuId::new();
    let extended = id.get_extended_feature_info();
    let wide = extended.as_ref();
    let able = wide.is_some_and(|features| features.has_avx2())
        && id
            .get_feature_info()
            .is_some_and(|features| features.has_fma())
        && (!cfg!(target_feature = "avx512f")
            || wide.is_some_and(|features| features.has_avx512f() && features.has_avx512dq()));
    (!able).then_some(
        "this build is for another processor, with instructions that this one lacks; build it anew \
         here, or with RUSTFLAGS=\"\" set, and it runs, with the same results",
    )
}

/// Built for any processor of its kind.
#[cfg(not(all(target_arch = "x86_64", target_feature = "avx2")))]
pub fn lacks() -> Option<&'static str> {
    None
}
