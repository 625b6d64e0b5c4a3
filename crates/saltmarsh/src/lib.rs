//! The book of Saltmarsh Kitchens, an invented group: demonstration data.
