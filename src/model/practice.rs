//! Figures that are practice and not law: what a planner counts on, editable in each scenario.
//!
//! One table names each figure, its unit, its range and what is taken where nobody says otherwise.
//! The gate, the file, the settings panel and the handbook all read that table.

/// One figure of practice.
#[derive(Debug, Clone, Copy)]
pub struct Setting {
    /// The word files use for it; its unit is part of it.
    pub key: &'static str,
    /// What it is, for people.
    pub label: &'static str,
    /// Unit, or nothing for a plain number.
    pub unit: &'static str,
    /// Lowest value accepted.
    pub low: f64,
    /// Highest value accepted.
    pub high: f64,
    /// Value taken where the scenario gives none.
    pub usual: f64,
    /// Where the usual value comes from.
    pub origin: &'static str,
    /// The heading under which it is listed.
    pub topic: Topic,
    get: fn(&Practice) -> f64,
    set: fn(&mut Practice, f64),
}

impl Setting {
    /// Returns the value in a scenario's practice.
    pub fn of(&self, practice: &Practice) -> f64 {
        (self.get)(practice)
    }

    /// Puts a value into a scenario's practice; the gate still looks at its range.
    pub fn put(&self, practice: &mut Practice, value: f64) {
        (self.set)(practice, value);
    }

    /// Tells whether a scenario keeps the usual value.
    pub fn is_usual(&self, practice: &Practice) -> bool {
        self.of(practice).to_bits() == self.usual.to_bits()
    }
}

/// What a figure of practice is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
#[expect(missing_docs, reason = "each variant is the topic it names")]
pub enum Topic {
    Timing,
    Traffic,
    Site,
    Exposure,
    Power,
    Resilience,
}

impl Topic {
    /// All topics, in the order of the settings panel.
    pub const ALL: [Self; 6] = [
        Self::Timing,
        Self::Traffic,
        Self::Site,
        Self::Exposure,
        Self::Power,
        Self::Resilience,
    ];

    /// Returns the heading.
    pub fn word(self) -> &'static str {
        match self {
            Self::Timing => "Timing and voice",
            Self::Traffic => "Traffic",
            Self::Site => "Radio site",
            Self::Exposure => "Exposure",
            Self::Power => "Power",
            Self::Resilience => "Resilience",
        }
    }
}

macro_rules! practice {
    ($($topic:ident: $key:ident = $usual:literal, $unit:literal, $low:literal..$high:literal, $label:literal, $origin:literal;)+) => {
        /// Figures of practice of one scenario.
        #[derive(Debug, Clone, PartialEq)]
        pub struct Practice {
            $(
                #[doc = $label]
                pub $key: f64,
            )+
        }

        impl Default for Practice {
            fn default() -> Self {
                Self { $($key: $usual,)+ }
            }
        }

        impl Practice {
            /// Every figure, in the order of the settings panel.
            pub const SETTINGS: &'static [Setting] = &[
                $(Setting {
                    key: stringify!($key),
                    label: $label,
                    unit: $unit,
                    low: $low,
                    high: $high,
                    usual: $usual,
                    origin: $origin,
                    topic: Topic::$topic,
                    get: |practice| practice.$key,
                    set: |practice, value| practice.$key = value,
                },)+
            ];
        }
    };
}

practice! {
    Timing: squelch_ms = 30.0, "ms", 0.0..5000.0,
        "Time a squelch takes to open without a code",
        "published service specification of a mobile radio";
    Timing: tone_decode_ms = 200.0, "ms", 0.0..5000.0,
        "Further time a receiver takes to decode a CTCSS tone",
        "published service specification of a mobile radio";
    Timing: dcs_decode_ms = 350.0, "ms", 0.0..5000.0,
        "Further time a receiver takes to decode a DCS code",
        "two words of 171 ms each, arithmetic";
    Timing: late_entry_ms = 360.0, "ms", 0.0..5000.0,
        "Further time a P25 receiver may take to join a call",
        "one superframe, arithmetic";
    Timing: key_up_ms = 100.0, "ms", 0.0..5000.0,
        "Time a transmitter takes to come up",
        "TIA-603 limit, from memory";
    Timing: buffer_slack_ms = 150.0, "ms", 0.0..5000.0,
        "Audio held back beyond what is needed that is still no waste",
        "common practice, no source";
    Timing: clipped_most_ms = 100.0, "ms", 0.0..5000.0,
        "Speech lost at the front that people put up with",
        "common practice, no source";
    Timing: lockout_ms = 300.0, "ms", 0.0..10_000.0,
        "Time a port stays deaf after it has let its donor go",
        "common practice, no source";
    Timing: answer_gap_ms = 300.0, "ms", 0.0..10_000.0,
        "Time after which people answer at the earliest",
        "common practice, no source";
    Timing: pause_ms = 1000.0, "ms", 0.0..10_000.0,
        "Pause after pressing that people make without being told",
        "common practice, no source";
    Timing: vocoder_ie = 0.0, "", 0.0..95.0,
        "Equipment impairment of a digital radio's vocoder, 0 while unknown",
        "no published value for the P25 vocoder was found; 0 makes ratings a best case";
    Timing: telephone_ie = 5.0, "", 0.0..95.0,
        "Equipment impairment of a cellular telephone's codec",
        "ITU-T G.113 Appendix I, enhanced full rate, from memory";
    Timing: tie_ie = 0.0, "", 0.0..95.0,
        "Equipment impairment of the codec of an IP tie",
        "ITU-T G.113 Appendix I: G.711 has none, from memory";
    Timing: rating_least = 50.0, "", 0.0..100.0,
        "E-model rating below which a path is called poor",
        "ITU-T G.109: below 50 is not recommended, from memory";

    Traffic: overhead_s = 0.2, "s", 0.0..60.0,
        "Air time of a message beyond its speech",
        "regional 700 MHz loading calculation, 2016";
    Traffic: load_comfortable_erl = 0.3, "erlang", 0.01..1.0,
        "Load of a net up to which people are at ease",
        "common practice, no source";
    Traffic: load_strained_erl = 0.5, "erlang", 0.01..1.0,
        "Load of a net from which people are strained",
        "common practice, no source";
    Traffic: load_most_erl = 0.6, "erlang", 0.01..1.0,
        "Load of a net from which people talk over each other",
        "common practice, no source";
    Traffic: wait_most_s = 10.0, "s", 0.1..600.0,
        "Mean wait for a talk path that is still put up with",
        "common practice, no source";
    Traffic: wait_times = 3.0, "times", 1.0..1000.0,
        "How many times as long a wait must become by joining to be told",
        "common practice, no source";
    Traffic: people_per_net = 40.0, "people", 1.0..10_000.0,
        "People on one net",
        "0.35 erlang at six short messages an hour each, arithmetic; the ceiling is common practice";
    Traffic: reporting_units = 5.0, "units", 1.0..1000.0,
        "Units that report on one command net",
        "span of control of NIMS, by inference";
    Traffic: agencies_per_group = 4.0, "agencies", 1.0..100.0,
        "Agencies joined by one talk group",
        "common practice, no source";

    Site: sensitivity_dbm = -116.0, "dBm", -140.0..0.0,
        "Sensitivity of a receiver, 12 dB SINAD",
        "data sheet norm, from memory";
    Site: blocking_db = 90.0, "dB", 0.0..150.0,
        "Rejection of a strong signal far from the channel",
        "published service specification of a mobile radio, rounded down";
    Site: adjacent_db = 60.0, "dB", 0.0..150.0,
        "Rejection of a signal on the next channel",
        "ETSI EN 300 086, 12.5 kHz, from memory";
    Site: near_channel_khz = 25.0, "kHz", 0.0..10_000.0,
        "Distance in frequency within which the rejection of the next channel holds",
        "common practice, no source";
    Site: intermod_db = 65.0, "dB", 0.0..150.0,
        "Rejection of intermodulation by a receiver",
        "ETSI EN 300 086, from memory";
    Site: feed_loss_db = 0.0, "dB", 0.0..60.0,
        "Loss between a transmitter and its antenna",
        "none assumed, the cautious side";
    Site: filter_db = 0.0, "dB", 0.0..150.0,
        "Loss of a filter before a receiver, away from its channel",
        "none assumed, the cautious side";
    Site: antenna_apart_m = 1.0, "m", 0.1..1000.0,
        "Distance between antennas where nobody noted any",
        "donors on one table, common practice, no source";

    Exposure: reflection = 2.56, "", 1.0..4.0,
        "Factor for reflection from the ground: 1 free, 2.56 typical, 4 full",
        "OET Bulletin 65, from memory";
    Exposure: gain_dbi = 2.15, "dBi", -10.0..20.0,
        "Gain taken for an antenna nobody noted",
        "a half-wave dipole, textbook";
    Exposure: bystander_m = 1.0, "m", 0.0..1000.0,
        "How near the public may come to an antenna of the site",
        "common practice, no source";
    Exposure: operator_m = 0.5, "m", 0.0..1000.0,
        "How near the trained people beside the gateway come to an antenna",
        "common practice, no source";
    Exposure: duty_least = 0.5, "", 0.0..1.0,
        "Least share of the averaging time a transmitter is taken to be on",
        "cautious assumption, common practice, no source";

    Power: temperature_c = 20.0, "°C", -40.0..60.0,
        "Temperature of batteries where a site gives none",
        "common practice, no source";
    Power: donor_transmit_ma = 1500.0, "mA", 0.0..100_000.0,
        "Current of a donor on its own battery while it transmits",
        "worked example of a portable, arithmetic";
    Power: donor_receive_ma = 250.0, "mA", 0.0..100_000.0,
        "Current of a donor on its own battery while it receives",
        "worked example of a portable, arithmetic";
    Power: donor_standby_ma = 60.0, "mA", 0.0..100_000.0,
        "Current of a donor on its own battery while nothing is on the air",
        "worked example of a portable, arithmetic";
    Power: cold_keeps = 0.8, "", 0.0..1.0,
        "Share of its capacity that a battery must keep in the cold",
        "common practice, no source";
    Power: label_transmit_share = 0.05, "", 0.0..1.0,
        "Share of transmitting that a portable's stated battery life assumes",
        "5-5-90, a portable's safety text";
    Power: duty_most = 0.2, "", 0.0..1.0,
        "Share of transmitting that a portable stands without overheating",
        "TIA-603 intermittent duty, from memory";
    Power: change_at = 0.8, "", 0.1..1.0,
        "Share of a battery's hours after which it is changed",
        "common practice, no source";

    Resilience: people_up = 1.0, "", 0.0..1.0,
        "Chance that a unit's people are there and listening",
        "not judged unless the scenario says so";
    Resilience: radio_up = 0.99, "", 0.0..1.0,
        "Chance that a radio works",
        "planning figure, no source";
    Resilience: channel_up = 0.999, "", 0.0..1.0,
        "Chance that a channel is usable",
        "planning figure, no source";
    Resilience: system_up = 0.99, "", 0.0..1.0,
        "Chance that a repeater, trunked or satellite system works",
        "planning figure, no source";
    Resilience: gateway_up = 0.99, "", 0.0..1.0,
        "Chance that a gateway works",
        "planning figure, no source";
    Resilience: port_up = 0.999, "", 0.0..1.0,
        "Chance that a port works",
        "planning figure, no source";
    Resilience: cable_up = 0.99, "", 0.0..1.0,
        "Chance that a donor's cable works",
        "planning figure, no source";
    Resilience: power_up = 0.98, "", 0.0..1.0,
        "Chance that a gateway's power lasts",
        "planning figure, no source";
    Resilience: site_up = 0.999, "", 0.0..1.0,
        "Chance that a site stays usable",
        "planning figure, no source";
    Resilience: tie_up = 0.98, "", 0.0..1.0,
        "Chance that a tie between gateways works",
        "planning figure, no source";
    Resilience: telephone_up = 0.97, "", 0.0..1.0,
        "Chance that a telephone or headset works",
        "planning figure, no source";
    Resilience: need_met_least = 0.9, "", 0.0..1.0,
        "Chance of being met that a life-safety need must have",
        "planning figure, no source";
}

impl Practice {
    /// Finds a figure by the word files use.
    pub fn setting(key: &str) -> Option<&'static Setting> {
        Self::SETTINGS.iter().find(|s| s.key == key)
    }

    /// Lists the figures outside their range, with what was found.
    pub fn problems(&self) -> impl Iterator<Item = (&'static Setting, f64)> + '_ {
        Self::SETTINGS
            .iter()
            .map(|s| (s, s.of(self)))
            .filter(|(s, found)| !(s.low..=s.high).contains(found))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_usual_value_is_inside_its_range_and_reads_back() {
        let mut practice = Practice::default();
        assert_eq!(practice.problems().count(), 0);
        for (number, setting) in Practice::SETTINGS.iter().enumerate() {
            assert!(setting.is_usual(&practice), "{}", setting.key);
            let other = setting.low + (setting.high - setting.low) / (number as f64 + 3.0);
            setting.put(&mut practice, other);
            assert_eq!(setting.of(&practice).to_bits(), other.to_bits());
            assert!(!setting.origin.is_empty() && !setting.label.is_empty());
        }
        assert_eq!(practice.problems().count(), 0);
    }

    #[test]
    fn usual_values_lie_where_their_sources_put_them() {
        let p = Practice::default();
        // Published service specification of a mobile radio: squelch under 30 ms, tone decode about
        // 200 ms. One DCS word lasts 171 ms, so one to two words are 171 to 342 ms: arithmetic.
        assert!(p.squelch_ms <= 30.0 && (p.tone_decode_ms - 200.0).abs() < 1.0);
        assert!((171.0..=350.0).contains(&p.dcs_decode_ms));
        // The same specification: adjacent above 60 dB at 12.5 kHz, blocking above 95 dB,
        // intermodulation above 65 dB; ETSI EN 300 086 from memory: 60, 84 and 65 dB.
        assert!((60.0..=75.0).contains(&p.adjacent_db));
        assert!((84.0..=95.0).contains(&p.blocking_db));
        assert!((65.0..=80.0).contains(&p.intermod_db));
        // Data sheet norm, from memory: 12 dB SINAD at -116 to -119 dBm.
        assert!((-119.0..=-116.0).contains(&p.sensitivity_dbm));
        // Worked example, computed: 0.2 s overhead of a message; ceilings are common practice.
        assert!((p.overhead_s - 0.2).abs() < 1e-12);
        assert!(p.load_comfortable_erl < p.load_strained_erl);
        assert!(p.load_strained_erl < p.load_most_erl);
        // OET Bulletin 65, from memory: 1.6 squared.
        assert!((p.reflection - 1.6 * 1.6).abs() < 1e-12);
        // 5-5-90 of a portable's safety text; TIA-603 20 %, from memory.
        assert!((p.label_transmit_share - 0.05).abs() < 1e-12);
        assert!((p.duty_most - 0.2).abs() < 1e-12);
    }

    #[test]
    fn a_figure_outside_its_range_is_told() {
        let mut practice = Practice::default();
        for bad in [f64::NAN, -0.1, 1.5] {
            practice.radio_up = bad;
            let told: Vec<_> = practice.problems().map(|(s, _)| s.key).collect();
            assert_eq!(told, ["radio_up"]);
        }
    }
}
