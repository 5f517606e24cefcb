//! The four shops, each in a country and a currency of its own.

use domain::fact::ShopDescription;

/// One of the four.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ShopKey {
    /// In Greece; euro.
    Elektra,
    /// In Serbia; dinar.
    Lasta,
    /// In Sweden; krona.
    Nordljus,
    /// In Japan; yen, which has no smaller unit.
    Hoshi,
}

/// A shop.
#[derive(Debug, Clone, Copy)]
pub struct ShopPlan {
    /// Which.
    pub key: ShopKey,
    /// Its name.
    pub name: &'static str,
    /// Its address.
    pub address: &'static [&'static str],
    /// Its country.
    pub country: &'static str,
    /// Its telephone number.
    pub phone: &'static str,
    /// Its mail.
    pub email: &'static str,
    /// Its currency.
    pub currency: &'static str,
    /// What one euro of the price list is in its currency.
    pub rate: u32,
    /// Prices are rounded up to this many whole units.
    pub step: u32,
    /// The price up to which it agrees beforehand; empty for none.
    pub standing_limit: &'static str,
    /// Who uses the portal there.
    pub user: &'static str,
    /// The mail address of that person.
    pub user_email: &'static str,
}

/// All of them.
pub const SHOPS: [ShopPlan; 4] = [
    ShopPlan {
        key: ShopKey::Elektra,
        name: "Επισκευές Ηλέκτρα",
        address: &["Οδός Καλλιρρόης 00", "100 00 Νέα Πέτρα"],
        country: "GR",
        phone: "+30 210 000 0000",
        email: "service@elektra-fix.example",
        currency: "EUR",
        rate: 1,
        step: 1,
        standing_limit: "120.00",
        user: "Ελένη Μαυρίδου",
        user_email: "eleni@elektra-fix.example",
    },
    ShopPlan {
        key: ShopKey::Lasta,
        name: "Мобилни сервис Ласта",
        address: &["Липова улица 0", "00000 Нова Река"],
        country: "RS",
        phone: "+381 11 000 0000",
        email: "servis@lasta.example",
        currency: "RSD",
        rate: 117,
        step: 100,
        standing_limit: "",
        user: "Милица Јовановић",
        user_email: "milica@lasta.example",
    },
    ShopPlan {
        key: ShopKey::Nordljus,
        name: "Nordljus Mobil & Dator",
        address: &["Björkgränd 0", "000 00 Åsviken"],
        country: "SE",
        phone: "+46 8 000 00 00",
        email: "disken@nordljus.example",
        currency: "SEK",
        rate: 11,
        step: 10,
        standing_limit: "900",
        user: "Åsa Lindqvist",
        user_email: "asa@nordljus.example",
    },
    ShopPlan {
        key: ShopKey::Hoshi,
        name: "Hoshizora Repair Counter",
        address: &["0-0-0 Tsukimi", "000-0000 Minatohara"],
        country: "JP",
        phone: "+81 3 0000 0000",
        email: "counter@hoshizora.example",
        currency: "JPY",
        rate: 165,
        step: 100,
        standing_limit: "",
        user: "Haruka Mori",
        user_email: "haruka@hoshizora.example",
    },
];

impl ShopKey {
    /// The shop.
    pub fn plan(self) -> &'static ShopPlan {
        SHOPS
            .iter()
            .find(|shop| shop.key == self)
            .expect("every key has its row")
    }
}

impl ShopPlan {
    /// As the desk takes it.
    pub fn description(&self) -> ShopDescription {
        ShopDescription {
            name: self.name.to_owned(),
            address_lines: self.address.iter().map(|line| (*line).to_owned()).collect(),
            country: self.country.to_owned(),
            phone: self.phone.to_owned(),
            email: self.email.to_owned(),
            currency: self.currency.to_owned(),
        }
    }

    /// A price of the list, given in euro, as it is typed in this shop's currency.
    pub fn price(&self, euro: u32) -> String {
        (euro * self.rate).next_multiple_of(self.step).to_string()
    }
}
