//! For which processors the program was built, and whether this one is among them.

use std::sync::LazyLock;

/// Level of the processor it was built for, as the makers of x86-64 agreed on.
const LEVEL: &str = if !cfg!(target_arch = "x86_64") {
    std::env::consts::ARCH
} else if cfg!(all(target_feature = "avx512f", target_feature = "avx512vl")) {
    "x86-64-v4"
} else if cfg!(target_feature = "avx2") {
    "x86-64-v3"
} else {
    "x86-64"
};

/// Version, commit where the build knows it, and level: `0.1.0 (1a2b3c4d5, x86-64-v3)`.
pub fn version() -> &'static str {
    static VERSION: LazyLock<String> = LazyLock::new(|| {
        let commit = option_env!("TAUTWAY_COMMIT").map(|commit| format!("{commit}, "));
        let commit = commit.unwrap_or_default();
        format!("{} ({commit}{LEVEL})", env!("CARGO_PKG_VERSION"))
    });
    &VERSION
}

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
