#include "request.hpp"

#include <cstdint>
#include <nlohmann/json.hpp>
#include <utility>

#include "coldgrease/base/error.hpp"

namespace coldgrease::tools {

namespace {

constexpr std::string_view pattern = R"({"id": 7, "args": ["class", "280"]})";

input_error no_request(std::string_view problem, std::string_view expected = pattern) {
  return {"request", problem, expected};
}

/// Takes a request from what a parser finds, and refuses anything else where it begins, so that no nesting is followed.
/// A document would not do: it keeps no number as it was written, and of two equal keys only one.
class request_reader final : public nlohmann::json_sax<nlohmann::json> {
 public:
  request take() {
    if (!seen_args_) throw no_request("\"args\" is missing");
    return std::move(request_);
  }

  bool null() override { return scalar("null", "null", true); }
  bool boolean(bool) override { return scalar("", "true or false", false); }
  bool number_integer(std::int64_t v) override { return scalar(v == 0 ? "-0" : std::to_string(v), "a number", true); }
  bool number_unsigned(std::uint64_t v) override { return scalar(std::to_string(v), "a number", true); }
  bool number_float(double, const std::string& written) override { return scalar(written, "a number", true); }
  bool string(std::string& text) override {
    if (place_ != place::list) return scalar(json_text(text), "a text", true);
    if (text.find('\0') != std::string::npos) throw no_request("a word of \"args\" holds a zero byte", "plain text");
    request_.args.push_back(std::move(text));
    return true;
  }
  bool binary(binary_t&) override { return scalar("", "binary", false); }

  bool start_object(std::size_t) override {
    if (place_ != place::outside) return scalar("", "an object", false);
    place_ = place::object;
    return true;
  }
  bool key(std::string& name) override {
    bool& seen = name == "id" ? seen_id_ : seen_args_;
    if (name != "id" && name != "args") throw no_request("unknown key " + in_quotes(name), "id, args");
    if (seen) throw no_request("the key " + in_quotes(name) + " stands twice", "each key once");
    seen = true;
    place_ = name == "id" ? place::id : place::args;
    return true;
  }
  bool end_object() override { return true; }
  bool start_array(std::size_t) override {
    if (place_ != place::args) return scalar("", "a list", false);
    place_ = place::list;
    return true;
  }
  bool end_array() override {
    place_ = place::object;
    return true;
  }
  bool parse_error(std::size_t position, const std::string&, const nlohmann::json::exception& e) override {
    if (dynamic_cast<const nlohmann::json::out_of_range*>(&e) != nullptr)
      throw no_request("holds a number too large", "finite numbers");
    throw no_request("is no JSON in UTF-8 (byte " + std::to_string(position) + ")");
  }

 private:
  enum class place { outside, object, id, args, list };

  bool scalar(std::string as_json, std::string_view what, bool can_be_id) {
    const std::string found = std::string(what);
    switch (place_) {
      case place::args: throw no_request("\"args\" is " + found, "a list of texts");
      case place::list: throw no_request("\"args\" holds " + found, "a list of texts");
      case place::id:
        if (!can_be_id) throw no_request("\"id\" is " + found, "a number, a text or null");
        request_.id = std::move(as_json);
        place_ = place::object;
        return true;
      case place::outside:
      case place::object: throw no_request("is " + found);
    }
    return false;
  }

  request request_;
  place place_ = place::outside;
  bool seen_id_ = false, seen_args_ = false;
};

}  // namespace

request read_request(std::string_view line) {
  if (line.find_first_not_of(" \t") == std::string_view::npos) throw no_request("is empty");
  if (line.find('\0') != std::string_view::npos)
    throw no_request("holds zero bytes", "plain text, not UTF-16 or binary");
  request_reader reader;
  nlohmann::json::sax_parse(line, &reader);
  return reader.take();
}

std::string json_text(const std::string& text) {
  return nlohmann::json(text).dump(-1, ' ', false, nlohmann::json::error_handler_t::replace);
}

}  // namespace coldgrease::tools
