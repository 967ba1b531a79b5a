//! What is read beside the list of all rules: what each of them presumes, and why it does not count.

use super::rules::COUNT;
use say::say;

/// What belongs to the rule of the same place in [`super::rules::RULES`].
#[derive(Debug)]
pub struct Note {
    /// What the rule was made for, and between which distances.
    pub domain: &'static str,
    /// Who reads, in what light and contrast, which letters, and what else it presumes.
    pub assumption: &'static str,
    /// Why it does not count for other cases.
    pub otherwise: &'static str,
    /// Address of the page on which the figure was read; none where it was not.
    pub address: Option<&'static str>,
}

/// One for each rule, in their order.
pub static NOTES: [Note; COUNT] = [
    Note {
        domain: say!("road signs"),
        assumption: say!(
            "A driver reads a road sign by day: plain letters in strong contrast, small letters three quarters as high as capitals. The manual gives it as guidance, and as the least that should do."
        ),
        otherwise: say!("It is about signs that are read in passing, from the road."),
        address: None,
    },
    Note {
        domain: say!("any distance"),
        assumption: say!(
            "Good daylight, strong contrast, plain letters with strokes of a fifth of their height. From there they can just be told apart, no more."
        ),
        otherwise: "",
        address: None,
    },
    Note {
        domain: say!("characters on displays"),
        assumption: say!(
            "An operator reads text on a display, indoors, in good contrast. 20 to 22 arcmin are preferred, and 24 the most for text. ISO 9241-3 (1992) prefers 20 to 22, too, and letters 0.7 to 0.9 as wide as high."
        ),
        otherwise: say!("It is about text that is read at ease."),
        address: Some(
            "http://create.ife.no/vr/create4/Data/guidelines/nureg/nureg0700rev2_review_us.zip",
        ),
    },
    Note {
        domain: say!("characters on displays"),
        assumption: say!(
            "An operator reads text on a display, indoors, in good contrast. Less than 16 arcmin is too small for text; ISO 9241-3 (1992) has the same, and so has ANSI/HFES 100 (from memory). ISO 24509 reckons it from age, light and contrast."
        ),
        otherwise: say!("It is about text that is read at ease."),
        address: Some(
            "http://create.ife.no/vr/create4/Data/guidelines/nureg/nureg0700rev2_review_us.zip",
        ),
    },
    Note {
        domain: say!("displays at a desk or in a cockpit"),
        assumption: say!(
            "Somebody at work reads a display. In good contrast a little less may do: 16 to 18 arcmin."
        ),
        otherwise: say!("It is about text that is read at ease."),
        address: Some(
            "https://www.taylorfrancis.com/books/e/9781315098128/chapters/10.1201/b22361-52",
        ),
    },
    Note {
        domain: say!("signs in buildings, from 40 in above the floor"),
        assumption: say!(
            "The distance runs along the floor, from the letters to whatever keeps a person from coming closer. Worked in the inches of the table; its millimetres are rounded. Other points of 703.5 apply too: finish, contrast, style, proportions, spacing."
        ),
        otherwise: say!("It is asked of signs that must be accessible."),
        address: Some("https://up.codes/s/signs"),
    },
    Note {
        domain: say!("boards of a business that face the traffic"),
        assumption: say!(
            "A driver reads the board of a business beside the road, in daylight or well lit."
        ),
        otherwise: say!("It is about sign boards of a business."),
        address: None,
    },
    Note {
        domain: say!("boards of a business that face the traffic"),
        assumption: say!(
            "A driver reads the board of a business beside the road, in daylight or lit from outside: plain black letters on white."
        ),
        otherwise: say!("It is about dark letters on the sign board of a business."),
        address: None,
    },
    Note {
        domain: say!("boards of a business that face the traffic"),
        assumption: say!(
            "A driver reads the board of a business beside the road, in daylight or lit from outside: plain white letters on black."
        ),
        otherwise: say!("It is about light letters on the dark sign board of a business."),
        address: None,
    },
    Note {
        domain: say!("boards along the road, such as wall signs"),
        assumption: say!(
            "A driver reads a wall sign along the road from the side, 60° off and more; the slant is in the figure."
        ),
        otherwise: say!("It is about boards along a road that are read from 60° aside and more."),
        address: None,
    },
    Note {
        domain: say!("safety signs in workplaces"),
        assumption: say!("People at work read the words of a safety sign in good light."),
        otherwise: say!("It is about safety signs."),
        address: None,
    },
    Note {
        domain: say!("safety signs"),
        assumption: say!(
            "Somebody who has been warned reads the message, in good light, plain letters."
        ),
        otherwise: say!("It is about the message of safety signs."),
        address: None,
    },
    Note {
        domain: say!("escape signs in buildings"),
        assumption: say!("Anybody reads the words of an escape sign."),
        otherwise: say!("It is about escape signs."),
        address: Some("https://meansofescape.com/about-viewing-distances"),
    },
    Note {
        domain: say!("safety signs, in the light and contrast that the factor is for"),
        assumption: say!(
            "The factor was chosen for the light, the contrast and the eyes in question."
        ),
        otherwise: say!("It counts for safety signs, where a distance factor is typed."),
        address: None,
    },
    Note {
        domain: say!("safety signs"),
        assumption: say!("The word DANGER, WARNING or CAUTION at the head of a safety sign."),
        otherwise: say!("It is about the signal word of a safety sign alone."),
        address: None,
    },
    Note {
        domain: say!("road signs"),
        assumption: say!("As the index of 2009; a note mentions 33 ft to the inch as better."),
        otherwise: say!("The edition of 2009 took its place."),
        address: None,
    },
    Note {
        domain: say!("road signs"),
        assumption: say!("Close to what acuity 20/20 can just tell apart."),
        otherwise: say!("Later editions took its place: too few people see so well."),
        address: None,
    },
    Note {
        domain: say!("boards of a business that face the traffic"),
        assumption: say!("As above, plain yellow letters on green."),
        otherwise: say!("It is about yellow letters on a green board."),
        address: None,
    },
    Note {
        domain: say!("boards of a business that face the traffic"),
        assumption: say!("As above, letters with slab serifs, black on white."),
        otherwise: say!("It is about letters with slab serifs."),
        address: None,
    },
    Note {
        domain: say!("boards of a business that face the traffic"),
        assumption: say!("As above, letters with slab serifs, white on black."),
        otherwise: say!("It is about letters with slab serifs."),
        address: None,
    },
    Note {
        domain: say!("boards of a business that face the traffic"),
        assumption: say!("As above, letters with slab serifs, yellow on green."),
        otherwise: say!("It is about letters with slab serifs."),
        address: None,
    },
    Note {
        domain: say!("changeable electronic signs of few dots"),
        assumption: say!(
            "Anybody reads a sign of lamps or dots; heights by the baseline above the floor."
        ),
        otherwise: say!("It is about changeable signs made of dots."),
        address: Some("https://corada.com/documents/2013CBCPG/11b-703-8-4"),
    },
    Note {
        domain: say!("changeable electronic signs of few dots, seats 100 ft away and more"),
        assumption: say!("Spectators read a scoreboard of lamps or dots."),
        otherwise: say!("It is about scoreboards made of dots."),
        address: Some("https://corada.com/documents/2013CBCPG/11b-703-8-4"),
    },
    Note {
        domain: say!("up to 8 m"),
        assumption: say!(
            "A soldier reads the label of equipment in little light: 15.8 to 16.3 arcmin at the ends of its steps."
        ),
        otherwise: say!("It is about labels on equipment in little light, up to 8 m."),
        address: None,
    },
];
