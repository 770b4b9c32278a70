//! Moving what stands on the board by itself, with all that is in it.

use emath::Vec2;

use super::{Chip, GatewayBox, Pill, UnitCard};

impl UnitCard {
    /// Moves the card with its button and its chips.
    pub(super) fn shift(&mut self, by: Vec2) {
        self.rect = self.rect.translate(by);
        self.mic = self.mic.translate(by);
        for chip in &mut self.chips {
            chip.shift(by);
        }
    }

    /// Returns the card as it would be elsewhere.
    #[must_use]
    pub fn moved(&self, by: Vec2) -> Self {
        let mut card = self.clone();
        card.shift(by);
        card
    }
}

impl Pill {
    /// Moves the channel.
    pub(super) fn shift(&mut self, by: Vec2) {
        self.rect = self.rect.translate(by);
    }

    /// Returns the channel as it would be elsewhere.
    #[must_use]
    pub fn moved(&self, by: Vec2) -> Self {
        let mut pill = *self;
        pill.shift(by);
        pill
    }
}

impl Chip {
    /// Moves the chip.
    pub(super) fn shift(&mut self, by: Vec2) {
        self.rect = self.rect.translate(by);
    }

    /// Returns the chip as it would be elsewhere.
    #[must_use]
    pub fn moved(&self, by: Vec2) -> Self {
        let mut chip = *self;
        chip.shift(by);
        chip
    }
}

impl GatewayBox {
    /// Moves the box with its rows and lanes.
    pub(super) fn shift(&mut self, by: Vec2) {
        self.rect = self.rect.translate(by);
        for row in &mut self.rows {
            row.rect = row.rect.translate(by);
            if let Some(chip) = &mut row.attached {
                chip.shift(by);
            }
            for (_, cell) in &mut row.cells {
                *cell = cell.translate(by);
            }
        }
        for lane in &mut self.lanes {
            lane.x += by.x;
            lane.y.0 += by.y;
            lane.y.1 += by.y;
            lane.label = lane.label.translate(by);
        }
    }

    /// Returns the box as it would be elsewhere.
    #[must_use]
    pub fn moved(&self, by: Vec2) -> Self {
        let mut gateway = self.clone();
        gateway.shift(by);
        gateway
    }
}
