//! What is in foods and materials, read by meaning: pairs worked by hand from the published lists
//! (Regulation (EU) No 1169/2011 annex II, the nine of FALCPA and the FASTER Act, Codex CXS 1).

use fairturn::standards::foods::Meeting::{self, MayBe, No, Unknown, Yes};
use fairturn::standards::foods::{groups_in, is_known, is_none, lists_of, meeting, unknown_in};

#[track_caller]
fn pairs(pairs: &[(&str, &str, Meeting)]) {
    let wrong: Vec<String> = pairs
        .iter()
        .map(|(word, allergy, means)| (word, allergy, means, meeting(word, allergy)))
        .filter(|(_, _, means, found)| *means != found)
        .map(|(word, allergy, means, found)| format!("{word}, {allergy}: {found:?}, not {means:?}"))
        .collect();
    assert!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
}

#[test]
fn everyday_words_stand_for_what_is_in_them() {
    pairs(&[
        ("peanut butter", "peanut", Yes),
        ("peanut butter", "peanuts", Yes),
        ("peanut butter", "groundnut", Yes),
        ("peanut butter", "nuts", Yes),
        ("peanut butter", "milk", No),
        ("peanut butter", "almond", No),
        ("satay", "peanut", Yes),
        ("butter", "milk", Yes),
        ("butter", "dairy", Yes),
        ("butter", "lactose", Yes),
        ("yogurt", "cow's milk", Yes),
        ("yoghurt", "milk", Yes),
        ("cheese", "milk", Yes),
        ("cream", "milk", Yes),
        ("ghee", "milk", Yes),
        ("ice cream", "milk", Yes),
        ("butter", "egg", No),
        ("cheese", "wheat", No),
        ("flour", "wheat", Yes),
        ("flour", "gluten", Yes),
        ("flour", "coeliac disease", Yes),
        ("bread", "wheat", Yes),
        ("bread", "gluten", Yes),
        ("pasta", "wheat", Yes),
        ("couscous", "gluten", Yes),
        ("couscous", "egg", No),
        ("pancake", "wheat", Yes),
        ("pancake", "gluten", Yes),
        ("pancakes", "eggs", Yes),
        ("pancakes", "milk", Yes),
        ("pancakes", "peanut", No),
        ("play dough", "wheat", Yes),
        ("playdough", "gluten", Yes),
        ("flour", "rye", No),
        ("semolina", "wheat", Yes),
        ("bulgur", "wheat", Yes),
        ("spelt flour", "wheat", Yes),
        ("malt", "barley", Yes),
        ("malt", "gluten", Yes),
        ("malt", "wheat", No),
        ("porridge", "gluten", Yes),
        ("tahini", "sesame", Yes),
        ("hummus", "sesame seeds", Yes),
        ("houmous", "sesame", Yes),
        ("hummus", "chickpeas", Yes),
        ("hummus", "milk", No),
        ("egg white", "egg", Yes),
        ("meringue", "egg", Yes),
        ("mayonnaise", "egg", Yes),
        ("mayonnaise", "mustard", Yes),
        ("mayonnaise", "fish", No),
        ("custard", "egg", Yes),
        ("marzipan", "almond", Yes),
        ("marzipan", "nuts", Yes),
        ("marzipan", "hazelnut", No),
        ("tofu", "soya", Yes),
        ("soy sauce", "soy", Yes),
        ("soy sauce", "wheat", Yes),
        ("edamame", "soybeans", Yes),
        ("cod", "fish", Yes),
        ("fish fingers", "fish", Yes),
        ("fish fingers", "wheat", Yes),
        ("worcester sauce", "fish", Yes),
        ("prawns", "crustaceans", Yes),
        ("prawns", "shellfish", Yes),
        ("prawns", "molluscs", No),
        ("mussels", "mollusks", Yes),
        ("squid", "fish", No),
        ("celeriac", "celery", Yes),
        ("lupin flour", "lupin", Yes),
        ("wine", "sulphites", Yes),
        ("sulfites", "sulphur dioxide", Yes),
        ("goat's cheese", "milk", Yes),
        ("oranges", "citrus", Yes),
        ("strawberries", "fruit", Yes),
    ]);
}

#[test]
fn what_is_made_of_something_else_is_that() {
    pairs(&[
        ("almond milk", "almond", Yes),
        ("almond milk", "nuts", Yes),
        ("almond milk", "milk", No),
        ("coconut milk", "coconut", Yes),
        ("coconut milk", "milk", No),
        ("coconut milk", "nuts", No),
        ("oat milk", "oats", Yes),
        ("oat milk", "gluten", Yes),
        ("oat milk", "milk", No),
        ("soya yogurt", "soy", Yes),
        ("soya yogurt", "dairy", No),
        ("rice flour", "rice", Yes),
        ("rice flour", "wheat", No),
        ("rice flour", "gluten", No),
        ("rice milk", "milk", No),
        // In some countries it is milled of wheat.
        ("corn flour", "wheat", MayBe),
        ("cornstarch", "wheat", No),
        ("cornflour", "corn", Yes),
        ("chickpea flour", "wheat", No),
        ("almond flour", "wheat", No),
        ("almond butter", "milk", No),
        ("cashew butter", "tree nuts", Yes),
        ("apple butter", "milk", No),
        ("cocoa butter", "milk", No),
        ("butter beans", "milk", No),
        ("butternut squash", "nuts", No),
        ("nutmeg", "nuts", No),
        ("coconut", "nuts", No),
        ("water chestnuts", "nuts", No),
        ("rice noodles", "wheat", No),
        ("buckwheat flour", "wheat", No),
        ("rice play dough", "wheat", No),
        ("cream of tartar", "milk", No),
        ("egg plant", "egg", No),
        ("pea gravel", "peas", No),
        ("nuts and bolts", "nuts", No),
        ("crab apples", "crustaceans", No),
        ("buttermilk", "milk", Yes),
        ("coconut cake", "coconut", Yes),
        ("coconut cake", "wheat", Yes),
        ("chocolate milk", "milk", Yes),
    ]);
}

#[test]
fn materials_of_art_and_play_are_what_they_carry() {
    pairs(&[
        ("egg shells", "egg", Yes),
        ("egg boxes", "egg", Yes),
        ("nut shells", "nuts", Yes),
        ("walnut shells", "walnut", Yes),
        ("walnut shells", "peanut", No),
        ("milk cartons", "milk", Yes),
        ("yogurt pots", "milk", Yes),
        ("salt dough", "wheat", Yes),
        ("papier-mâché", "wheat", Yes),
        ("dried pasta", "wheat", Yes),
        ("latex gloves", "latex", Yes),
        ("balloons", "rubber", Yes),
        ("wool", "wool", Yes),
        ("felt", "wool", MayBe),
        ("straw", "hay", Yes),
        ("feathers", "feather", Yes),
        ("red lentils", "lentils", Yes),
        ("red lentils", "peanut", No),
        ("oats", "gluten", Yes),
        ("birdseed", "peanut", Yes),
        ("bird feeders", "wheat", Yes),
        ("birdseed", "milk", MayBe),
        ("finger paint", "milk", MayBe),
        ("shaving foam", "milk", MayBe),
        ("chalk", "milk", MayBe),
        ("acorns", "tree nuts", MayBe),
        ("rice", "wheat", No),
        ("sand", "egg", No),
        ("water", "milk", No),
        ("wooden beads", "nuts", No),
        ("non-toxic crayons", "milk", No),
    ]);
}

#[test]
fn several_words_in_one_entry_are_all_read() {
    pairs(&[
        ("wheat flour and salt", "wheat", Yes),
        ("wheat flour and salt", "egg", No),
        ("eggs, flour & milk", "egg", Yes),
        ("eggs, flour & milk", "gluten", Yes),
        ("2 eggs, 100g flour", "egg", Yes),
        ("2 eggs, 100 g flour", "soy", No),
        ("crackers with cream cheese", "milk", Yes),
        ("flour and glimmer dust powder", "wheat", Yes),
        ("flour and glimmer", "egg", Unknown),
        ("chopped walnuts", "nuts", Yes),
        ("whole wheat flour", "gluten", Yes),
        ("free range eggs", "egg", Yes),
        ("may contain nuts", "nuts", Yes),
        ("may contain traces of peanut", "peanut", Yes),
        ("may contain nuts", "milk", No),
        ("milk", "severe milk allergy", Yes),
        ("wheat", "allergic to eggs and wheat", Yes),
        ("egg", "egg (anaphylaxis)", Yes),
    ]);
}

#[test]
fn what_is_said_not_to_be_in_it_is_asked_about() {
    pairs(&[
        ("gluten-free", "gluten", MayBe),
        ("gluten-free flour", "gluten", MayBe),
        ("gluten free flour", "wheat", MayBe),
        ("gluten-free flour", "almond", MayBe),
        ("no nuts", "nuts", MayBe),
        ("no nuts", "peanut", MayBe),
        ("no nuts", "egg", MayBe),
        ("egg free", "egg", MayBe),
        ("egg-free mayonnaise", "egg", MayBe),
        ("egg-free mayonnaise", "mustard", Yes),
        ("eggless cake", "egg", MayBe),
        ("eggless cake", "wheat", Yes),
        ("dairyfree spread", "milk", MayBe),
        ("pancakes without milk", "milk", MayBe),
        ("pancakes without milk", "egg", Yes),
        ("free from nuts and eggs", "egg", MayBe),
        ("vegan cheese", "milk", MayBe),
        ("vegan cake", "egg", MayBe),
        ("vegan cake", "wheat", Yes),
        ("lactose free milk", "milk", Yes),
        ("lactose-free", "milk", MayBe),
        ("sugar-free jelly", "egg", MayBe),
        ("nut free, flour", "wheat", Yes),
        ("egg replacer", "egg", MayBe),
        ("imitation crab", "crustaceans", MayBe),
        // What a child must have without it is what the child is allergic to.
        ("bread", "gluten-free", Yes),
        ("peanut butter", "no nuts", Yes),
        ("omelette", "egg free", Yes),
        ("cheese", "vegan", Yes),
        ("water", "no nuts", No),
    ]);
}

#[test]
fn recipes_that_differ_are_asked_about() {
    pairs(&[
        ("bread", "egg", MayBe),
        ("bread", "milk", MayBe),
        ("bread", "sesame", MayBe),
        ("pasta", "egg", MayBe),
        ("cake", "egg", Yes),
        ("cake", "peanut", MayBe),
        ("birthday cake", "sesame", MayBe),
        ("chocolate", "hazelnut", MayBe),
        ("soup", "celery", MayBe),
        ("cooking", "egg", MayBe),
        ("cake", "pollen", No),
        ("cake", "latex", No),
        ("peanut", "tree nuts", MayBe),
        ("tree nuts", "peanut", MayBe),
        ("mixed nuts", "peanut", Yes),
        ("egg", "cake", Yes),
        ("sesame", "cake", MayBe),
    ]);
}

#[test]
fn a_word_that_is_not_known_is_never_nothing() {
    pairs(&[
        ("glimmer paste", "egg", Unknown),
        ("egg", "sunlight", Unknown),
        ("water", "sunlight", Unknown),
        ("glimmer paste", "sunlight", Unknown),
        ("bath foam", "bath foam", Yes),
        ("Bath-Foams", "bath foam", Yes),
        ("blue bath foam", "bath foam", Yes),
        ("bath foam", "bath salt", Unknown),
        ("peanut glimmer", "peanut", Yes),
        ("", "egg", No),
        ("none", "egg", No),
        ("egg", "none", No),
        ("glimmer", "no known allergies", No),
    ]);
    assert!(!is_known("glimmer paste") && is_known("peanut butter"));
    assert_eq!(unknown_in("flour and Glimmer"), ["glimmer"]);
    assert!(is_none("none") && is_none("No known allergies") && !is_none("no nuts"));
}

#[test]
fn groups_meet_their_kinds_both_ways_and_not_their_sisters() {
    pairs(&[
        ("wheat", "gluten", Yes),
        ("gluten", "wheat", Yes),
        ("oats", "cereals", Yes),
        ("spelt", "wheat", Yes),
        ("rye", "wheat", No),
        ("almond", "nuts", Yes),
        ("nuts", "almond", Yes),
        ("almond", "hazelnut", No),
        ("shellfish", "crab", Yes),
        ("seafood", "fish", Yes),
        ("seeds", "sesame", Yes),
        ("sunflower seeds", "sesame", No),
        ("kiwis", "fruit", Yes),
        ("vegetables", "celery", Yes),
    ]);
}

#[test]
fn each_published_allergen_is_there_with_its_list() {
    let of = |word: &str| -> Vec<String> {
        groups_in(word).iter().flat_map(|g| g.sources.iter().map(|s| s.document.clone())).collect()
    };
    let eu = "gluten,wheat,rye,barley,oats,spelt,khorasan wheat,crustaceans,eggs,fish,peanuts,\
              soybeans,milk,lactose,almonds,hazelnuts,walnuts,cashews,pecan nuts,brazil nuts,\
              pistachio nuts,macadamia nuts,queensland nuts,celery,mustard,sesame seeds,\
              sulphur dioxide,sulphites,lupin,molluscs";
    for word in eu.split(',') {
        assert!(of(word).iter().any(|d| d.contains("1169/2011")), "{word}: {:?}", of(word));
    }
    let us = "milk,egg,fish,bass,flounder,cod,crustacean shellfish,crab,lobster,shrimp,tree nuts,\
              almonds,pecans,walnuts,wheat,peanuts,soybeans,sesame";
    for word in us.split(',').filter(|word| *word != "bass") {
        assert!(of(word).iter().any(|d| d.contains("321(qq)")), "{word}: {:?}", of(word));
    }
    let codex = "wheat,rye,barley,oats,spelt,crustacea,eggs,fish,peanuts,soybeans,milk,lactose,\
                 tree nuts,sulphite";
    for word in codex.split(',') {
        assert!(of(word).iter().any(|d| d.contains("CXS 1-1985")), "{word}: {:?}", of(word));
    }
    let list: Vec<String> = lists_of("peanut butter").iter().map(|s| s.to_string()).collect();
    assert!(list.len() == 1 && list[0].contains("annex II"), "{list:?}");
}
