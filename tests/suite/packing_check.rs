//! The checker catches what is planted, and only that; bad instances are named.

use packdown::packing::{
    Fault, Instance, PackingError, Proposal, check, instances, proposals, solve,
};

fn instance() -> Instance {
    let items = [[4, 1], [4, 1], [6, 9], [6, 1], [1, 1]].map(|item| item.to_vec());
    Instance::new("five", vec![10, 10], &items).unwrap()
}

fn plan() -> Proposal {
    Proposal {
        name: "five".into(),
        bins: vec![vec![0, 2], vec![1, 3], vec![4]],
        count: Some(3),
        lower_bound: Some(3),
        proven: Some(true),
    }
}

#[test]
fn a_sound_plan_has_no_fault() {
    assert_eq!(check(&instance(), &plan()), []);
    // The sum is 21 of 10 by the first limit: three packages, as the solver says too.
    assert_eq!(solve(&instance()).count, 3);
    // Claims may be left out.
    let bare = Proposal {
        count: None,
        lower_bound: None,
        proven: None,
        ..plan()
    };
    assert_eq!(check(&instance(), &bare), []);
}

#[test]
fn every_planted_fault_is_named() {
    type Plant = fn(&mut Proposal);
    let planted: [(Plant, Fault); 10] = [
        (
            |p| p.name = "six".into(),
            Fault::OtherName {
                plan: "six".into(),
                instance: "five".into(),
            },
        ),
        (|p| p.bins[2].push(5), Fault::NoSuchItem { bin: 2, item: 5 }),
        (|p| p.bins[0].truncate(1), Fault::Missing { item: 2 }),
        (
            |p| p.bins[2].push(1),
            Fault::Twice {
                item: 1,
                first: 1,
                second: 2,
            },
        ),
        (
            |p| {
                p.bins[2].clear();
                p.bins[1].push(4);
            },
            Fault::TooFull {
                bin: 1,
                limit: 0,
                load: 11,
                cap: 10,
            },
        ),
        (|p| p.bins.push(Vec::new()), Fault::Empty { bin: 3 }),
        (
            |p| p.count = Some(2),
            Fault::WrongCount { count: 2, bins: 3 },
        ),
        (
            |p| {
                p.lower_bound = Some(4);
                p.proven = Some(false);
            },
            Fault::BoundAboveCount {
                lower_bound: 4,
                bins: 3,
            },
        ),
        (
            |p| {
                p.lower_bound = Some(2);
                p.proven = Some(false);
            },
            Fault::BoundTooLow {
                lower_bound: 2,
                sum: 3,
                limit: 0,
            },
        ),
        (
            |p| p.proven = Some(false),
            Fault::WrongProven {
                proven: false,
                bins: 3,
                lower_bound: 3,
            },
        ),
    ];
    for (plant, fault) in planted {
        let mut plan = plan();
        plant(&mut plan);
        let found = check(&instance(), &plan);
        assert!(found.contains(&fault), "{fault}: found {found:?}");
    }
}

#[test]
fn the_second_limit_counts_as_much_as_the_first() {
    let mut plan = plan();
    plan.bins = vec![vec![0, 4], vec![1, 3], vec![2]];
    assert_eq!(check(&instance(), &plan), []);
    plan.bins = vec![vec![0, 3], vec![1], vec![2, 4]];
    assert_eq!(check(&instance(), &plan), []);
    let heavy = [[1, 6], [1, 6]].map(|item| item.to_vec());
    let two = Instance::new("two", vec![10, 10], &heavy).unwrap();
    let together = Proposal {
        name: "two".into(),
        bins: vec![vec![0, 1]],
        count: None,
        lower_bound: None,
        proven: None,
    };
    assert_eq!(
        check(&two, &together),
        [Fault::TooFull {
            bin: 0,
            limit: 1,
            load: 12,
            cap: 10
        }]
    );
    assert_eq!(solve(&two).count, 2);
}

#[test]
fn sums_too_large_for_64_bits_stay_exact() {
    let most = 1 << 60;
    let items: Vec<Vec<u64>> = vec![vec![most]; 40];
    let large = Instance::new("large", vec![most], &items).unwrap();
    let plan = solve(&large);
    assert_eq!((plan.count, plan.lower_bound), (40, 40));
    let mut one = Proposal::from(plan);
    one.bins = vec![(0..40).collect()];
    let load = 40_u128 << 60;
    assert!(check(&large, &one).contains(&Fault::TooFull {
        bin: 0,
        limit: 0,
        load,
        cap: most
    }));
}

#[test]
fn nothing_to_pack_needs_no_package() {
    let none = Instance::new("none", vec![1], &[]).unwrap();
    let plan = solve(&none);
    assert_eq!((plan.count, plan.lower_bound, plan.proven), (0, 0, true));
    let weightless = Instance::new("air", vec![0, 5], &[vec![0, 0], vec![0, 0]]).unwrap();
    let plan = solve(&weightless);
    assert_eq!((plan.bins.clone(), plan.proven), (vec![vec![0, 1]], true));
    assert_eq!(check(&weightless, &plan.into()), []);
}

#[test]
fn an_instance_that_cannot_be_packed_is_named() {
    let read = |text: &str| instances(text).unwrap_err();
    assert_eq!(
        read(r#"{"name":"a","cap":[10,5],"items":[[1,1],[2,6]]}"#),
        PackingError::FitsNowhere {
            name: "a".into(),
            item: 1,
            limit: 1,
            size: 6,
            cap: 5
        }
    );
    assert_eq!(
        read(r#"{"name":"a","cap":[10,5],"items":[[1,1],[2]]}"#),
        PackingError::OtherWidth {
            name: "a".into(),
            item: 1,
            sizes: 1,
            limits: 2
        }
    );
    assert_eq!(
        read(r#"{"name":"a","cap":[10,5],"items":[[1]]}"#),
        PackingError::OtherWidth {
            name: "a".into(),
            item: 0,
            sizes: 1,
            limits: 2
        }
    );
    assert_eq!(
        read(r#"{"name":"a","cap":[],"items":[]}"#),
        PackingError::NoLimits("a".into())
    );
    assert!(matches!(
        read(r#"{"name":"a","cap":[2305843009213693952],"items":[]}"#),
        PackingError::TooLarge { .. }
    ));
    // Half a unit, a negative, a word: whole numbers only. And the line is named.
    for item in ["0.5", "-1", "\"x\"", "null"] {
        let text = format!("{{\"cap\":[1],\"items\":[]}}\n{{\"cap\":[1],\"items\":[[{item}]]}}\n");
        assert!(
            matches!(read(&text), PackingError::Unreadable { line: 2, .. }),
            "{item}"
        );
    }
}

#[test]
fn one_object_may_stand_on_many_lines() {
    let text = "{\n \"name\": \"wide\",\n \"cap\": [10],\n \"items\": [[1],\n [2]]\n}\n";
    let read = instances(text).unwrap();
    assert_eq!(read.len(), 1);
    assert_eq!(read[0].items().collect::<Vec<_>>(), [&[1_u64][..], &[2]]);
    let text = r#"{"bins":[[0]]} {"name":"b","bins":[[0],[1]],"count":2}"#;
    let read = proposals(text).unwrap();
    assert_eq!((read[0].count, read[1].count), (None, Some(2)));
}
