//! Calculators of traffic: calls lost, calls that wait, users who wait.

use super::{Answers, Calculator, Given, Input, Need, Output, Refusal, Takes, Value};
use crate::engineering::traffic::erlang_c::Waiting;
use crate::engineering::traffic::{erlang_b, erlang_c, finite_source};

const LOAD: Input = Input {
    name: "load",
    value_name: "A",
    label: "Offered load",
    takes: Takes::Number(erlang_b::LOAD),
    need: Need::Required,
    example: "8.108",
};

const SERVERS: Input = Input {
    name: "servers",
    value_name: "N",
    label: "Channels",
    takes: Takes::Whole(erlang_b::SERVERS),
    need: Need::Required,
    example: "15",
};

const HOLD: Input = Input {
    name: "hold-s",
    value_name: "H",
    label: "Talk time",
    takes: Takes::Number(erlang_c::HOLD),
    need: Need::Required,
    example: "5",
};

/// Calls lost.
pub(super) const ERLANG_B: Calculator = Calculator {
    kind: "erlang-b",
    title: "Erlang B: calls lost",
    about: "How probable it is that a call finds every channel busy and is lost.",
    inputs: &[LOAD, SERVERS],
    outputs: &[Output::share("blocking", "Calls lost")],
    source: "Textbook: A. K. Erlang, 1917; the recursion is in any book on teletraffic.",
    caution: Some(
        "Callers must be many and independent, and give up when lost. Talk within one incident \
         comes in bursts: the worst moments are worse than this.",
    ),
    run: |given| {
        let (load, servers) = (given.number("load")?, given.whole("servers")?);
        let blocking = erlang_b::blocking(load, servers);
        Ok(Answers::numbers([
            blocking.map_err(|refused| Refusal::of("load", refused))?
        ]))
    },
};

/// Calls that wait.
pub(super) const ERLANG_C: Calculator = Calculator {
    kind: "erlang-c",
    title: "Erlang C: calls that wait",
    about: "How probable and how long the wait is where calls queue for a channel.",
    inputs: &[
        Input {
            example: "8.667",
            ..LOAD
        },
        Input {
            takes: Takes::Whole(finite_source::SERVERS),
            example: "12",
            ..SERVERS
        },
        Input {
            name: "hold",
            value_name: "S",
            example: "5.2",
            ..HOLD
        },
    ],
    outputs: &[
        Output::share("wait_probability", "Calls that wait"),
        Output::number("mean_wait_s", "Mean wait of all calls", "s", 2),
    ],
    source: "Textbook: A. K. Erlang, 1917; in any book on teletraffic.",
    caution: Some(
        "Callers must be many and independent; talk within one incident comes in bursts. Near \
         saturation the steady answer overstates a busy quarter of an hour. For few users take \
         finite-source.",
    ),
    run: waiting,
};

/// Few users of one channel.
pub(super) const FINITE_SOURCE: Calculator = Calculator {
    kind: "finite-source",
    title: "Few users of one channel",
    about: "How often and how long a known, small number of users wait for their channel.",
    inputs: &[
        Input {
            name: "users",
            value_name: "N",
            label: "Users",
            takes: Takes::Whole(finite_source::USERS),
            need: Need::Required,
            example: "12",
        },
        Input {
            name: "think-s",
            value_name: "T",
            label: "Quiet time",
            takes: Takes::Number(finite_source::THINK),
            need: Need::Required,
            example: "60",
        },
        HOLD,
    ],
    outputs: &[
        Output::share("utilisation", "Channel busy"),
        Output::share("wait_probability", "Presses that wait"),
        Output::number("mean_wait_s", "Mean wait of all presses", "s", 2),
    ],
    source: "Textbook: machine repair, M/M/1//N; arrival theorem of closed networks.",
    caution: Some(
        "Quiet and talk must be independent and alike for every user. Answers follow questions, so \
         real talk is orderly, except when everybody has news at once.",
    ),
    run: few_users,
};

fn waiting(given: &Given) -> Result<Answers, Refusal> {
    let (load, servers) = (given.number("load")?, given.whole("servers")?);
    let waiting = erlang_c::wait(load, servers, given.number("hold")?);
    Ok(
        match waiting.map_err(|refused| Refusal::of("load", refused))? {
            Waiting::Settles {
                probability,
                mean_wait_s,
            } => Answers::numbers([probability, mean_wait_s]),
            Waiting::GrowsWithoutEnd => Answers {
                values: vec![Value::Number(1.0), Value::Endless],
                remarks: vec![
                    "As much is offered as the channels carry, or more: the queue never settles."
                        .to_owned(),
                ],
            },
        },
    )
}

fn few_users(given: &Given) -> Result<Answers, Refusal> {
    let (users, think_s) = (given.whole("users")?, given.number("think-s")?);
    let shared = finite_source::finite_source(users, think_s, given.number("hold-s")?)
        .map_err(|refused| Refusal::of("users", refused))?;
    Ok(Answers::numbers([
        shared.utilisation,
        shared.wait_probability,
        shared.mean_wait_s,
    ]))
}
