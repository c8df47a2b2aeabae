//! From a number of axes that is known when a file is read to one that is known when the engine is compiled.

/// Calls a function that is generic over the number of axes, 1 to 16.
#[macro_export]
macro_rules! for_axes {
    ($axes:expr, $run:ident($($given:expr),*)) => {
        $crate::for_axes!(@ $axes, $run($($given),*), 1 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16)
    };
    (@ $axes:expr, $run:ident $given:tt, $($count:literal)*) => {
        match $axes {
            $($count => $run::<$count> $given,)*
            axes => unreachable!("{axes} axes: whoever reads names refuses none and more than 16"),
        }
    };
}
