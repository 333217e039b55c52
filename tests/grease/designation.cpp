#include "coldgrease/grease/designation.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <tuple>

#include "coldgrease/grease/consistency.hpp"
#include "coldgrease/grease/grease.hpp"
#include "near.hpp"

using namespace coldgrease;

namespace {

designation read(std::string_view code) { return parse_designation(code, "code"); }

bool says(const std::vector<std::string>& notes, std::string_view words) {
  return std::ranges::any_of(notes, [&](const std::string& n) { return n.find(words) != std::string::npos; });
}

/// What the one line of a refusal expects.
std::string refusal(std::string_view code) {
  try {
    read(code);
  } catch (const input_error& e) {
    const std::string text = e.what();
    CHECK(text.find('\n') == std::string::npos);
    CHECK(text.starts_with("code: "));
    return text;
  }
  return "read";
}

}  // namespace

TEST_CASE("published value: L-XCDEB3, the worked example of the ISO 6743-9 tables as reproduced") {
  const designation d = read("L-XCDEB3");
  CHECK(name_of(d.standard) == "ISO 6743-9");
  CHECK(d.code == "XCDEB3");
  CHECK(d.lowest == celsius(-30));
  CHECK(d.highest == celsius(140));
  CHECK(!d.lowest_open);
  CHECK(!d.highest_open);
  CHECK(d.water == "humid, rust protection with distilled water");
  CHECK(d.extreme_pressure);
  CHECK(d.nlgi == "3");
}

TEST_CASE("published value: K..2K-30 is 120 C and -30 C (DIN 51502 as reproduced)") {
  const designation d = read("K2K-30");
  CHECK(name_of(d.standard) == "DIN 51502");
  CHECK(d.lowest == celsius(-30));
  CHECK(d.highest == celsius(120));
  CHECK(d.application.find("rolling") != std::string::npos);
  CHECK(d.water.find("0-40 or 1-40") != std::string::npos);
  CHECK(!d.extreme_pressure);
  CHECK(!d.solids);
  CHECK(d.oil.empty());
}

TEST_CASE("case: codes as data sheets print them") {
  const designation solid = read("KPF2N-30");
  CHECK(solid.extreme_pressure);
  CHECK(solid.solids);
  CHECK(says(solid.notes, "the letter N stands for is quoted from memory"));
  const designation synthetic = read("KPHC1P-40");
  CHECK(synthetic.extreme_pressure);
  CHECK(synthetic.oil_type == oil_type::pao);
  CHECK(synthetic.highest == celsius(160));
  const designation gear = read("GP00G-20");
  CHECK(gear.application == "enclosed gears");
  CHECK(gear.nlgi == "00");
  CHECK(read("OGPF0S-30").application == "open gears");
  CHECK(read("KE2G-40").oil_type == oil_type::ester);
  CHECK(read("KPPG2K-20").oil_type == oil_type::pag);
  CHECK(read("KSI3R-40").oil_type == oil_type::silicone);
  const designation fluorinated = read("KFK2U-20");
  CHECK(fluorinated.oil.find("fluorinated") != std::string::npos);
  CHECK(!fluorinated.solids);
  CHECK(!fluorinated.oil_type);
  CHECK(fluorinated.highest_open);
  CHECK(read("MP00/000K-30").nlgi == "00/000");
  CHECK(read("KP1-2K-30").nlgi == "1-2");
  CHECK(read("XBCEA00/000").nlgi == "00/000");
  const designation coldest = read("XEGIB1");
  CHECK(coldest.lowest == celsius(-40));
  CHECK(coldest.lowest_open);
  CHECK(coldest.highest_open);
  CHECK(coldest.water == "water washing, rust protection with salt water");
  const designation open = read("KP2K");
  CHECK(!open.lowest);
  CHECK(says(open.notes, "claims nothing for the cold"));
  CHECK(says(read("KP2K-25").notes, "no step of the standard"));
}

TEST_CASE("law: blanks, prefix, dash and small letters do not change what a code says") {
  for (const std::string_view same : {"KP2K-30", "KP 2 K -30", " kp2k-30 ", "DIN 51502: KP2K-30", "din 51502 KP2K-30",
                                      "KP2K\xe2\x80\x93"
                                      "30",
                                      "KP2K\xe2\x88\x92"
                                      "30"}) {
    const designation d = read(same);
    CHECK(d.code == "KP2K-30");
    CHECK(d.lowest == celsius(-30));
  }
  for (const std::string_view same :
       {"XCDEB3", "L-XCDEB 3", "ISO-L-XCDEB3", "iso-l-xcdeb3", "ISO 6743-9: L-XCDEB3", "ISO 6743-9 ISO-L-XCDEB3"})
    CHECK(read(same).code == "XCDEB3");
}

TEST_CASE("law: a letter that means two things is named") {
  CHECK(says(read("KE2G-40").notes, "E means two things: before the class ester oil, after it up to 80.0 C (176.0 F)"));
  CHECK(says(read("K2E-20").notes, "E means two things"));
  CHECK(says(read("G2K-20").notes,
             "K means two things: before the class rolling and plain bearings, after it up to 120.0 C (248.0 F)"));
  CHECK(says(read("KP2K-30").notes, "P means two things"));
  CHECK_FALSE(says(read("KHC2N-30").notes, "E means two things"));
  CHECK_FALSE(says(read("KHC2N-30").notes, "P means two things"));
  CHECK(says(read("XBCHB2").notes, "C as second symbol is 120.0 C (248.0 F), as first -30.0 C (-22.0 F)"));
  CHECK(says(read("XCDEB3").notes, "C as first symbol is -30.0 C (-22.0 F), as second 120.0 C (248.0 F)"));
  // From memory and of no line, in every code that has a lowest temperature.
  CHECK(says(read("KP2K-30").notes, "1400 hPa (from memory)"));
  for (const std::string_view code : {"KP2K-30", "XCDEB3"}) CHECK(says(read(code).notes, "nothing of metres of line"));
}

TEST_CASE("law: DIN letters are read whatever the order of additives, and each once") {
  for (const std::string_view same : {"KPFE2K-30", "KFPE2K-30", "KEPF2K-30", "KFEP2K-30"}) {
    const designation d = read(same);
    CHECK(d.extreme_pressure);
    CHECK(d.solids);
    CHECK(d.oil_type == oil_type::ester);
  }
  CHECK(read("KPPH2K-30").oil.find("phosphoric") != std::string::npos);  // P and PH
  CHECK(read("KPHC2K-30").oil == "synthetic hydrocarbon");               // P and HC, not PH and a stray C
  for (const std::string_view twice : {"KPP2K-30", "KFF2K-30", "KEE2K-30", "KEX2K-30"})
    CHECK(refusal(twice).find("expected P, F, one oil of") != std::string::npos);
}

TEST_CASE("law: every code cut short is refused, or says less and nothing else") {
  for (const std::string_view whole : {"KPF2N-30", "KPHC1P-40", "GP00/000G-20", "L-XCDEB3", "XBCHB00/000"}) {
    const designation full = read(whole);
    for (std::size_t n = 0; n < whole.size(); ++n) {
      CAPTURE(whole.substr(0, n));
      std::string text = refusal(whole.substr(0, n));
      if (text != "read") {
        CHECK(text.find("; expected ") != std::string::npos);
        continue;
      }
      // A class may lose its last figure, a DIN code its lowest temperature: what is left is a code of its own.
      const designation cut = read(whole.substr(0, n));
      CHECK(cut.highest == full.highest);
      CHECK((!cut.lowest || cut.lowest == full.lowest));
    }
  }
}

TEST_CASE("law: a refusal says what is expected at its place") {
  using row = std::tuple<std::string_view, std::string_view>;
  for (const auto& [code, words] :
       std::array<row, 17>{{{"", "begins with X"},
                            {"red", "\"red\" begins with \"R\""},
                            {"2", "begins with X"},
                            {"KP", "ends after \"KP\"; expected the NLGI class"},
                            {"KP2", "ends after \"KP2\"; expected the letter of the highest"},
                            {"KP2-30", "has \"-\" after \"KP2\"; expected the letter"},
                            {"KP2Z-30", "has \"Z\" after \"KP2\"; expected the letter"},
                            {"KP2K-", "ends after \"KP2K-\"; expected the lowest temperature"},
                            {"KP2K30", "has \"3\" after \"KP2K\"; expected the lowest"},
                            {"KP2K-300", "expected nothing more"},
                            {"KP7K-30", "has the class \"7\"; expected an NLGI class 000 to 6"},
                            {"KP0/2K-30", "has the class \"0/2\""},
                            {"XCDEB7", "has the class \"7\"; expected an NLGI class 000 to 6"},
                            {"XCDEB", "ends after \"XCDEB\"; expected the NLGI class"},
                            {"XFDEB3", "has \"F\" after \"X\"; expected the letter of the lowest"},
                            {"XCDJB3", "expected the letter of environment and rust"},
                            {"XCDEC3", "has \"C\" after \"XCDE\"; expected A (no EP) or B"}}}) {
    const std::string message = refusal(code);
    CAPTURE(message);
    CHECK(message.find(words) != std::string::npos);
  }
}

TEST_CASE("law: evidence is completed by its designation once, and a given datum stays") {
  const evidence bare{.name = "g", .designation = "KPHC1P-40"};
  const designated_evidence done = with_designation(bare);
  CHECK(done.known.nlgi == "1");
  CHECK(done.known.oil == oil_type::pao);
  CHECK(says(done.notes, "NLGI 1 is taken from the designation KPHC1P-40"));
  CHECK(with_designation(done.known).notes.empty());
  CHECK(estimate(done.known).nlgi() == "1");

  const evidence other{.nlgi = "2", .designation = "KPE1P-40", .oil = oil_type::mineral};
  const designated_evidence kept = with_designation(other);
  CHECK(kept.known.nlgi == "2");
  CHECK(kept.known.oil == oil_type::mineral);
  CHECK(says(kept.notes, "says NLGI 1, the label says 2"));
  CHECK(says(kept.notes, "says ester oil, the record says mineral"));

  CHECK(with_designation({.nlgi = "1/2", .designation = "K2K-30"}).notes.empty());
  CHECK(with_designation({.penetration = 280.0, .designation = "K2K-30"}).notes.empty());
  CHECK(says(with_designation({.penetration = 325.0, .designation = "K2K-30"}).notes,
             "a penetration of 265 to 295; 325"));
  CHECK(says(with_designation({.nlgi = "2", .designation = "KF2K-30"}).notes, "holds solid lubricant"));
  CHECK(with_designation({.nlgi = "2"}).notes.empty());
}

TEST_CASE("case: a record may give its class by a designation alone") {
  const auto greases = read_greases(
      source::memory("g.json", R"([{"name": "g", "designation": {"value": "KP2K-30", "source": "sheet"}}])"));
  CHECK(greases.front().nlgi == "2");
  CHECK(greases.front().designation == "KP2K-30");
  REQUIRE(greases.front().sources.size() == 2);
  CHECK(greases.front().sources[0].source == "sheet");
  CHECK(greases.front().sources[1].source == "designation KP2K-30");
  CHECK(estimate(greases.front()).nlgi() == "2");
  CHECK_THROWS_AS(read_greases(source::memory("g.json", R"([{"name": "g", "designation": "KP2"}])")), file_error);
}
