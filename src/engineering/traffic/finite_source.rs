//! Waiting for a channel shared by a known, small number of users.
//!
//! Each user is quiet for a while, then presses, waits for a free channel, talks, and is quiet
//! again. Whoever waits does not press a second time, so few users wait less than Erlang C says.
//!
//! Formula: with n users talking or waiting, presses come at `(N - n) / Z` and talk ends at
//! `min(n, c) / H`; the steady state is `p(n) = p(n-1) (N - n + 1) H / (Z min(n, c))`. A user who
//! presses sees the state of a net with one user fewer; the wait probability is `P(n >= c)` and the
//! mean wait `sum of p(n) (n - c + 1) H / c` over `n >= c` in that state.
//!
//! Units: seconds, probability; utilisation is the share of time a channel is busy.
//!
//! Valid range: 1 to 100 000 users, 1 or more channels, quiet and talk 0.001 s to a day. States less
//! probable than 1e-308 of the likeliest count as impossible.
//!
//! When it is wrong: quiet and talk must be independent, exponential and alike for every user.
//! Answers follow questions, so real talk is orderly, except when everybody has news at once.
//!
//! Source: textbook: machine repair, M/M/c//N (Engset's formula is for the same users without a
//! queue); arrival theorem of closed networks.
//!
//! Worked example: two users who talk 5 s and are quiet 5 s: a press finds the other one talking or
//! waiting with probability 1/2, mean wait 2.5 s, channel busy 4/5 of the time.

use crate::engineering::traffic::erlang_c::HOLD;
use crate::engineering::{OutOfRange, Range};

/// Numbers of users.
pub const USERS: Range = Range::new("number of users", 1.0, 100_000.0, "");
/// Numbers of channels.
pub const SERVERS: Range = Range::new("number of channels", 1.0, 100_000.0, "");
/// Mean quiet time between the end of one talk and the next press.
pub const THINK: Range = Range::new("quiet time", 0.001, 86_400.0, "s");

/// How a few users share their channels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FiniteSource {
    /// Share of time for which a channel is busy.
    pub utilisation: f64,
    /// Probability that a press waits.
    pub wait_probability: f64,
    /// Mean wait over all presses, talk excluded, in seconds.
    pub mean_wait_s: f64,
}

/// Returns how users share one channel.
///
/// # Errors
///
/// An argument is outside [`USERS`], [`THINK`] or [`HOLD`].
pub fn finite_source(users: u32, think_s: f64, hold_s: f64) -> Result<FiniteSource, OutOfRange> {
    finite_source_on(users, 1, think_s, hold_s)
}

/// Returns how users share several channels.
///
/// # Errors
///
/// An argument is outside [`USERS`], [`SERVERS`], [`THINK`] or [`HOLD`].
pub fn finite_source_on(
    users: u32,
    servers: u32,
    think_s: f64,
    hold_s: f64,
) -> Result<FiniteSource, OutOfRange> {
    USERS.check(f64::from(users))?;
    let channels = SERVERS.check(f64::from(servers))?;
    let (think_s, hold_s) = (THINK.check(think_s)?, HOLD.check(hold_s)?);
    let ratio = hold_s / think_s;
    let busy: f64 = states(users, servers, ratio)
        .iter()
        .map(|(n, p)| n.min(channels) * p)
        .sum();
    let (mut wait_probability, mut mean_wait_s) = (0.0, 0.0);
    for (n, p) in states(users - 1, servers, ratio) {
        if n >= channels {
            wait_probability += p;
            mean_wait_s += p * (n - channels + 1.0) * hold_s / channels;
        }
    }
    // Rounding of the sums may pass 1 by a last digit.
    Ok(FiniteSource {
        utilisation: (busy / channels).min(1.0),
        wait_probability: f64::min(wait_probability, 1.0),
        mean_wait_s,
    })
}

/// Returns each number of users talking or waiting, with its probability.
///
/// Weights are taken outwards from the likeliest state, so they can vanish but not overflow, and
/// only positive numbers are added.
fn states(users: u32, servers: u32, ratio: f64) -> Vec<(f64, f64)> {
    // Weight of n + 1 over weight of n; it falls as n grows, so there is one summit.
    let step = |n: u32| f64::from(users - n) * ratio / f64::from((n + 1).min(servers));
    let summit = (0..users).find(|n| step(*n) < 1.0).unwrap_or(users);
    let mut weights = vec![(f64::from(summit), 1.0)];
    let mut weight = 1.0;
    for n in (0..summit).rev() {
        weight /= step(n);
        weights.push((f64::from(n), weight));
    }
    weights.reverse();
    weight = 1.0;
    for n in summit..users {
        weight *= step(n);
        weights.push((f64::from(n + 1), weight));
    }
    let sum: f64 = weights.iter().map(|(_, weight)| weight).sum();
    for (_, weight) in &mut weights {
        *weight /= sum;
    }
    weights
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::engineering::published::agrees;
    use crate::engineering::traffic::erlang_c::{self, Waiting};

    fn rows(ours: FiniteSource, theirs: FiniteSource) -> [(&'static str, f64, f64); 3] {
        [
            ("utilisation", ours.utilisation, theirs.utilisation),
            (
                "wait probability",
                ours.wait_probability,
                theirs.wait_probability,
            ),
            ("mean wait", ours.mean_wait_s, theirs.mean_wait_s),
        ]
    }

    /// Solves the balance equations of the Markov chain by elimination and reads the answers from
    /// flows, without the product form and without the arrival theorem.
    fn by_elimination(users: u32, servers: u32, think_s: f64, hold_s: f64) -> FiniteSource {
        let size = users as usize + 1;
        let up = |n: usize| (size - 1 - n) as f64 / think_s;
        let down = |n: usize| n.min(servers as usize) as f64 / hold_s;
        // One row a state: flow out less flow in is 0; the last row says that all is 1.
        let mut rows = vec![vec![0.0; size + 1]; size];
        for n in 0..size {
            rows[n][n] += up(n) + down(n);
            if n + 1 < size {
                rows[n + 1][n] -= up(n);
            }
            if n > 0 {
                rows[n - 1][n] -= down(n);
            }
        }
        rows[size - 1] = vec![1.0; size + 1];
        let p = solve(rows);
        let arrivals: f64 = (0..size).map(|n| p[n] * up(n)).sum();
        let c = servers as usize;
        let waiting: f64 = (c..size).map(|n| p[n] * up(n)).sum();
        let queue: f64 = (c..size).map(|n| p[n] * (n - c) as f64).sum();
        let busy: f64 = (0..size).map(|n| p[n] * n.min(c) as f64).sum();
        FiniteSource {
            utilisation: busy / f64::from(servers),
            wait_probability: waiting / arrivals,
            mean_wait_s: queue / arrivals,
        }
    }

    /// Solves a linear system by elimination with the largest pivot.
    fn solve(mut rows: Vec<Vec<f64>>) -> Vec<f64> {
        let size = rows.len();
        for at in 0..size {
            let pivot = (at..size)
                .max_by(|a, b| rows[*a][at].abs().total_cmp(&rows[*b][at].abs()))
                .expect("a row is left");
            rows.swap(at, pivot);
            let lead = rows[at].clone();
            for (n, row) in rows.iter_mut().enumerate().filter(|(n, _)| *n != at) {
                let factor = row[at] / lead[at];
                assert!(factor.is_finite(), "row {n} has no pivot");
                for (value, from) in row.iter_mut().zip(&lead) {
                    *value -= factor * from;
                }
            }
        }
        (0..size).map(|n| rows[n][size] / rows[n][n]).collect()
    }

    #[test]
    fn the_balance_equations_agree() {
        let mut compared = 0;
        for users in [1, 2, 3, 5, 8, 13, 30] {
            for servers in [1, 2, 3, 10] {
                for think_s in [0.5, 5.0, 55.0, 595.0] {
                    let ours = finite_source_on(users, servers, think_s, 5.0).unwrap();
                    let theirs = by_elimination(users, servers, think_s, 5.0);
                    agrees(
                        "Markov chain, solved by elimination",
                        1e-9,
                        &rows(ours, theirs),
                    );
                    compared += 1;
                }
            }
        }
        assert_eq!(compared, 112);
    }

    #[test]
    fn small_cases_agree_with_hand_arithmetic() {
        for (think_s, hold_s) in [(5.0, 5.0), (595.0, 5.0), (1.0, 30.0)] {
            let r = hold_s / think_s;
            // One user has the channel to itself.
            let one = FiniteSource {
                utilisation: hold_s / (hold_s + think_s),
                wait_probability: 0.0,
                mean_wait_s: 0.0,
            };
            // Two: weights 1, 2r, 2rr; a press meets the other alone, whose weights are 1, r.
            let two = FiniteSource {
                utilisation: 1.0 - 1.0 / (1.0 + 2.0 * r + 2.0 * r * r),
                wait_probability: r / (1.0 + r),
                mean_wait_s: hold_s * r / (1.0 + r),
            };
            for (users, theirs) in [(1, one), (2, two)] {
                let ours = finite_source(users, think_s, hold_s).unwrap();
                agrees("machine repair, by hand", 1e-12, &rows(ours, theirs));
            }
        }
    }

    #[test]
    fn many_users_with_the_same_load_wait_as_erlang_says() {
        for (load, servers) in [(0.3, 1), (0.6, 1), (2.0, 3)] {
            let Ok(Waiting::Settles {
                probability,
                mean_wait_s,
            }) = erlang_c::wait(load, servers, 5.0)
            else {
                panic!("{load} on {servers} settles");
            };
            let theirs = FiniteSource {
                utilisation: load / f64::from(servers),
                wait_probability: probability,
                mean_wait_s,
            };
            let mut before = f64::INFINITY;
            for users in [100, 1000, 3000] {
                let think_s = 5.0 * f64::from(users) / load;
                let ours = finite_source_on(users, servers, think_s, 5.0).unwrap();
                let apart = theirs.mean_wait_s - ours.mean_wait_s;
                assert!(apart > 0.0 && apart < before, "{users} users: {apart}");
                before = apart;
                let far = 100.0 / f64::from(users);
                agrees("Erlang C", far, &rows(ours, theirs));
            }
        }
    }

    #[test]
    fn more_users_wait_more_and_large_numbers_stay_numbers() {
        let mut before = -1.0;
        for users in 1..300 {
            let now = finite_source(users, 60.0, 5.0).unwrap();
            assert!(now.mean_wait_s > before && now.utilisation <= 1.0);
            before = now.mean_wait_s;
        }
        // With far too many users the channel never rests and a press waits for nearly all others.
        let crowd = finite_source(100_000, 60.0, 5.0).unwrap();
        let wait = 100_000.0 * 5.0 - 60.0 - 5.0;
        let theirs = FiniteSource {
            utilisation: 1.0,
            wait_probability: 1.0,
            mean_wait_s: wait,
        };
        agrees("saturated closed queue", 1e-5, &rows(crowd, theirs));
        let idle = finite_source_on(3, 5, 60.0, 5.0).unwrap();
        let theirs = FiniteSource {
            utilisation: 3.0 * 5.0 / 65.0 / 5.0,
            wait_probability: 0.0,
            mean_wait_s: 0.0,
        };
        agrees("a channel for each user", 1e-12, &rows(idle, theirs));
    }

    #[test]
    fn nonsense_is_refused() {
        assert!(finite_source(0, 60.0, 5.0).is_err());
        assert!(finite_source(100_001, 60.0, 5.0).is_err());
        assert!(finite_source_on(5, 0, 60.0, 5.0).is_err());
        for bad in [f64::NAN, f64::INFINITY, -1.0, 0.0] {
            assert!(finite_source(5, bad, 5.0).is_err());
            assert!(finite_source(5, 60.0, bad).is_err());
        }
    }
}
