//! Where the keys go in the matrix, and how far to scroll so that the cell is in sight.

use egui::{Key, Vec2};

/// Returns the cell a key leads to; `page` is how many rows are in sight.
pub(super) fn moved(
    (row, column): (usize, usize),
    key: Key,
    (rows, columns): (usize, usize),
    page: usize,
) -> (usize, usize) {
    let (last_row, last_column) = (rows.saturating_sub(1), columns.saturating_sub(1));
    let page = page.max(1);
    let (row, column) = match key {
        Key::ArrowUp => (row.saturating_sub(1), column),
        Key::ArrowDown => (row + 1, column),
        Key::ArrowLeft => (row, column.saturating_sub(1)),
        Key::ArrowRight => (row, column + 1),
        Key::Home => (row, 0),
        Key::End => (row, last_column),
        Key::PageUp => (row.saturating_sub(page), column),
        Key::PageDown => (row + page, column),
        _ => (row, column),
    };
    (row.min(last_row), column.min(last_column))
}

/// Returns how far to scroll so that a cell is in sight, or `None` where it is.
pub(super) fn reveal(
    offset: Vec2,
    sight: Vec2,
    (row, column): (usize, usize),
    cell: f32,
) -> Option<Vec2> {
    let along = |offset: f32, sight: f32, place: usize| {
        let (start, end) = (place as f32 * cell, (place + 1) as f32 * cell);
        if start < offset {
            start
        } else if end > offset + sight {
            end - sight
        } else {
            offset
        }
    };
    let wanted = Vec2::new(
        along(offset.x, sight.x, column),
        along(offset.y, sight.y, row),
    );
    (wanted != offset).then_some(wanted)
}

/// Returns how far to scroll so that what lies at `spot` of the sight stays there when cells grow.
pub(super) fn zoomed(offset: Vec2, spot: Vec2, factor: f32) -> Vec2 {
    ((offset + spot) * factor - spot).max(Vec2::ZERO)
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::vec2;

    #[test]
    fn keys_move_the_cursor_and_never_leave_the_matrix() {
        for (key, expected) in [
            (Key::ArrowUp, (1, 2)),
            (Key::ArrowDown, (3, 2)),
            (Key::ArrowLeft, (2, 1)),
            (Key::ArrowRight, (2, 3)),
            (Key::Home, (2, 0)),
            (Key::End, (2, 4)),
            (Key::PageUp, (0, 2)),
            (Key::PageDown, (5, 2)),
            (Key::A, (2, 2)),
        ] {
            assert_eq!(moved((2, 2), key, (6, 5), 4), expected, "{key:?}");
        }
        assert_eq!(moved((0, 0), Key::ArrowUp, (1, 1), 9), (0, 0));
        assert_eq!(moved((0, 0), Key::ArrowRight, (1, 1), 9), (0, 0));
    }

    #[test]
    fn a_cell_out_of_sight_is_brought_to_the_nearer_edge() {
        let sight = vec2(100.0, 50.0);
        assert_eq!(reveal(Vec2::ZERO, sight, (1, 2), 10.0), None);
        assert_eq!(
            reveal(Vec2::ZERO, sight, (9, 12), 10.0),
            Some(vec2(30.0, 50.0))
        );
        assert_eq!(
            reveal(vec2(80.0, 60.0), sight, (2, 3), 10.0),
            Some(vec2(30.0, 20.0))
        );
    }

    #[test]
    fn what_is_under_the_pointer_stays_there() {
        let (offset, spot) = (vec2(100.0, 40.0), vec2(60.0, 20.0));
        let then = zoomed(offset, spot, 2.0);
        assert_eq!((offset + spot) * 2.0, then + spot);
        assert_eq!(zoomed(Vec2::ZERO, spot, 0.5), Vec2::ZERO);
    }
}
