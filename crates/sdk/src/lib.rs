//! The client of chablon: connect to a hub, keep a replica, scale and cost standards.
