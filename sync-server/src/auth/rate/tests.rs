use super::*;

const A: IpAddr = IpAddr::V4(std::net::Ipv4Addr::new(192, 0, 2, 1));

#[test]
fn the_ninth_try_for_one_account_waits() {
    let limits = RateLimits::default();
    for _ in 0..8 {
        limits
            .sign_in(A, "mira@counter.example")
            .expect("within the limit");
    }
    let refused = limits
        .sign_in(A, "MIRA@counter.example")
        .expect_err("over the limit");
    assert!((1..=61).contains(&refused.retry_after_s), "{refused}");
    limits
        .sign_in(A, "other@counter.example")
        .expect("another account is not touched");
}

#[test]
fn questions_about_parcels_wait_after_a_day_s_worth() {
    let limits = RateLimits::default();
    for _ in 0..240 {
        limits.verdict(A).expect("within the limit");
    }
    assert!(limits.verdict(A).is_err());
    let other: IpAddr = "192.0.2.2".parse().expect("an address");
    limits
        .verdict(other)
        .expect("another address is not touched");
}

#[test]
fn one_address_can_t_try_many_accounts() {
    let limits = RateLimits::default();
    let refused = (0..30)
        .filter(|n| {
            limits
                .sign_in(A, &format!("user{n}@counter.example"))
                .is_err()
        })
        .count();
    assert_eq!(refused, 10);
}

#[test]
fn addresses_of_one_ipv6_network_are_counted_together() {
    let one: IpAddr = "2001:db8:1:2::1".parse().expect("an address");
    let two: IpAddr = "2001:db8:1:2:ffff::9".parse().expect("an address");
    let other: IpAddr = "2001:db8:1:3::1".parse().expect("an address");
    assert_eq!(network_of(one), network_of(two));
    assert_ne!(network_of(one), network_of(other));
    assert_eq!(
        network_of("::ffff:192.0.2.1".parse().expect("an address")),
        A
    );
}
