//! The block round the parts.

use glam::DVec3;
use mouldbench::plan::BlockPlan;
use mouldbench::shop::Shop;
use mouldbench::study::job::block::Block;
use proptest::prelude::*;

#[test]
fn walls_go_by_the_size_of_the_part_and_sizes_are_rounded_up() {
    let limits = &Shop::bundled().limits;
    let round = |size: DVec3| Block::round(DVec3::ZERO, size, &BlockPlan::default(), limits);
    for (longest, wall) in [(99.9, 15.0), (100.0, 15.0), (100.1, 25.0), (300.0, 25.0), (300.1, 40.0)] {
        let block = round(DVec3::new(20.0, longest, 30.25));
        assert_eq!((block.wall_mm, block.below_mm, block.above_mm), (wall, wall, 30.0), "{longest}");
        assert_eq!(block.size_mm.x, 20.0 + 2.0 * wall);
        assert_eq!(block.size_mm.z, (30.25 + wall + 30.0f64).ceil());
    }
    // 120 × 90 × 70 round 100 × 60 × 40 with the walls typed.
    let typed = BlockPlan { wall_mm: Some(10.0), below_mm: Some(12.5), above_mm: Some(17.5), ..BlockPlan::default() };
    let block = Block::round(DVec3::new(-50.0, 5.0, 7.0), DVec3::new(50.0, 75.0, 47.0), &typed, limits);
    assert_eq!(block.size_mm, DVec3::new(120.0, 90.0, 70.0));
    assert_eq!(block.volume_mm3(), 756_000.0);
    assert_eq!(block.floor_middle, DVec3::new(0.0, 40.0, -5.5));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_part_has_its_rubber_on_every_side(
        low in prop::array::uniform3(-1e5..1e5f64), size in prop::array::uniform3(0.0..500.0f64), wall in 0.0..50.0f64,
    ) {
        let (low, size) = (DVec3::from_array(low), DVec3::from_array(size));
        let plan = BlockPlan { wall_mm: Some(wall), ..BlockPlan::default() };
        let block = Block::round(low, low + size, &plan, &Shop::bundled().limits);
        let (low, high) = (low - block.floor_middle, low + size - block.floor_middle);
        let half = 0.5 * block.size_mm;
        let slack = 1e-5;
        prop_assert!((low.z - block.below_mm).abs() < slack);
        prop_assert!(block.size_mm.z - high.z > block.above_mm - slack);
        prop_assert!(block.size_mm.z - high.z < block.above_mm + 1.0 + slack);
        for axis in 0..2 {
            prop_assert!(half[axis] + low[axis] > wall - slack && half[axis] + low[axis] < wall + 0.5 + slack);
            prop_assert!(half[axis] - high[axis] > wall - slack && half[axis] - high[axis] < wall + 0.5 + slack);
        }
        prop_assert_eq!(block.size_mm, block.size_mm.round());
    }
}
